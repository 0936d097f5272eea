using System.Text;
using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Amqp;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using RabbitMQ.Client;

namespace DriftWatch.Delivery.Tests.Answers;

/// <summary>Answers through real brokers into the real store.</summary>
public sealed class AnswerListenerTests(RabbitFixture rabbit) : IClassFixture<RabbitFixture>, IDisposable
{
    private const int Recorded = 5010;
    private const int Refused = 5011;
    private const int Listening = 5012;

    private readonly TempFolder _folder = new();
    private readonly RecordingLog<AnswerDesk> _deskLog = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Over_mqtt_a_signed_answer_is_recorded_and_one_that_came_while_we_were_away_too()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using PlantStore store = Store();
        AnswerDesk desk = Desk(store, new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) });
        using (CancellationTokenSource stop = new())
        {
            Task running = await ListenAsync(broker, desk, stop.Token);
            await PublishAsync(broker, AnswerCase.Signed("mqtt", AnswerCase.Done(), DateTimeOffset.UtcNow));
            await _deskLog.Hears(Recorded);
            await PublishAsync(broker, AnswerCase.Signed("mqtt", AnswerCase.Done(), DateTimeOffset.UtcNow) with { Signature = null });
            await _deskLog.Hears(Refused);
            await stop.CancelAsync();
            await running;
        }

        System.Text.Json.Nodes.JsonObject later = AnswerCase.Done();
        later["id"] = "a-2";
        await PublishAsync(broker, AnswerCase.Signed("mqtt", later, DateTimeOffset.UtcNow));
        using (CancellationTokenSource stop = new())
        {
            Task running = await ListenAsync(broker, desk, stop.Token);
            await _deskLog.Hears(Recorded);
            await stop.CancelAsync();
            await running;
        }

        Assert.Equal(["a-1", "a-2"], store.AnswersAfter(0, 10).Select(recorded => recorded.Answer.Id));
    }

    /// <summary>The broker lets each user write its own level only, so the level is its word on who the sender is.</summary>
    [Fact]
    public async Task Over_mqtt_the_topic_names_the_sender_where_the_broker_sees_to_it()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using PlantStore store = Store();
        using CancellationTokenSource stop = new();
        Task running = await ListenAsync(broker, Desk(store, new AnswerOptions { TrustBrokerIdentity = true }), stop.Token);
        await PublishAsync(broker, new AnswerMessage("mqtt", Encoding.UTF8.GetBytes(AnswerCase.Done().ToJsonString())));
        await _deskLog.Hears(Recorded);
        await stop.CancelAsync();
        await running;
        Assert.Equal("broker user crew", Assert.Single(store.AnswersAfter(0, 10)).Authority);
    }

    [Fact]
    public async Task Over_amqp_the_brokers_checked_user_id_vouches_and_an_answer_survives_the_loss_of_the_connection()
    {
        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(
            new CreateChannelOptions(publisherConfirmationsEnabled: true, publisherConfirmationTrackingEnabled: true), Ended);
        string queue = await RabbitFixture.MakeQueueAsync(far);
        using PlantStore store = Store();
        RecordingLog<AmqpAnswerListener> log = new();
        AmqpOptions options = new() { Host = "127.0.0.1", Port = rabbit.Broker.Port, RoutingKey = "unused" };
        AmqpAnswerListener listener = new(
            options, queue, Desk(store, new AnswerOptions { TrustBrokerIdentity = true, SigningSecret = _folder.Secret(AnswerCase.Secret) }), TimeProvider.System, new Random(1), log);
        using CancellationTokenSource stop = new();
        Task running = listener.RunAsync(stop.Token);
        await log.Hears(Listening);

        byte[] body = Encoding.UTF8.GetBytes(AnswerCase.Done().ToJsonString());
        await far.BasicPublishAsync("", queue, mandatory: true, new BasicProperties { UserId = "guest" }, body, Ended);
        await _deskLog.Hears(Recorded);
        await far.BasicPublishAsync("", queue, mandatory: true, new BasicProperties(), body, Ended);
        await _deskLog.Hears(Refused);

        AnswerMessage signed = AnswerCase.Signed("amqp", With("a-2"), DateTimeOffset.UtcNow);
        await far.BasicPublishAsync("", queue, mandatory: true, Headers(signed), signed.Body, Ended);
        await _deskLog.Hears(Recorded);
        Assert.Equal(["broker user guest", "signature"], store.AnswersAfter(0, 10).Select(recorded => recorded.Authority));

        // The queue is deleted under the listener and made anew: it comes back by itself.
        _ = await far.QueueDeleteAsync(queue, ifUnused: false, ifEmpty: false, cancellationToken: Ended);
        _ = await far.QueueDeclareAsync(queue, durable: true, exclusive: false, autoDelete: false, cancellationToken: Ended);
        await log.Hears(Listening);
        AnswerMessage third = AnswerCase.Signed("amqp", With("a-3"), DateTimeOffset.UtcNow);
        await far.BasicPublishAsync("", queue, mandatory: true, Headers(third), third.Body, Ended);
        await _deskLog.Hears(Recorded);
        await stop.CancelAsync();
        await running;
        Assert.Equal(["a-1", "a-2", "a-3"], store.AnswersAfter(0, 10).Select(recorded => recorded.Answer.Id));
    }

    private static System.Text.Json.Nodes.JsonObject With(string id)
    {
        System.Text.Json.Nodes.JsonObject answer = AnswerCase.Done();
        answer["id"] = id;
        return answer;
    }

    private static BasicProperties Headers(AnswerMessage message) => new()
    {
        Headers = new Dictionary<string, object?>
        {
            [WebhookSignature.IdHeader] = message.SignatureId,
            [WebhookSignature.TimestampHeader] = message.SignatureTimestamp,
            [WebhookSignature.SignatureHeader] = message.Signature,
        },
    };

    private PlantStore Store()
    {
        PlantStore store = new(new StoreOptions { Path = Path.Combine(_folder.Path, "plant.db") });
        store.Save(Given.Step(Given.Opened()));
        return store;
    }

    private AnswerDesk Desk(IAnswerBook store, AnswerOptions options) => new(store, options, TimeProvider.System, _deskLog);

    private static async Task<Task> ListenAsync(MosquittoBroker broker, AnswerDesk desk, CancellationToken stop)
    {
        RecordingLog<MqttAnswerListener> log = new();
        MqttAnswerListener listener = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port }, desk, TimeProvider.System, new Random(1), log);
        Task running = listener.RunAsync(stop);
        await log.Hears(Listening);
        return running;
    }

    private static async Task PublishAsync(MosquittoBroker broker, AnswerMessage answer)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        _ = await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).WithProtocolVersion(MqttProtocolVersion.V500).Build(), Ended);
        MqttApplicationMessageBuilder message = new MqttApplicationMessageBuilder()
            .WithTopic("driftwatch/answers/crew")
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithPayload(answer.Body.ToArray());
        foreach ((string name, string? value) in new[] { (WebhookSignature.IdHeader, answer.SignatureId), (WebhookSignature.TimestampHeader, answer.SignatureTimestamp), (WebhookSignature.SignatureHeader, answer.Signature) })
        {
            if (value is not null)
            {
                message = message.WithUserProperty(name, Encoding.UTF8.GetBytes(value));
            }
        }

        _ = await client.PublishAsync(message.Build(), Ended);
        await client.DisconnectAsync(cancellationToken: Ended);
    }
}
