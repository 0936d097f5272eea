using System.Buffers;
using System.Text.Json.Nodes;
using Amqp;
using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Tests.Amqp;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Delivery.Tests.Webhook;
using DriftWatch.Delivery.Webhook;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Safety;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Json.Schema;
using Microsoft.Extensions.Logging.Abstractions;
using MimeKit;
using MQTTnet;
using RabbitMQ.Client;
using IConnection = RabbitMQ.Client.IConnection;

namespace DriftWatch.Delivery.Tests.Alarms;

/// <summary>Alarms from the real store over the real dispatcher to real peers.</summary>
public sealed class AlarmChannelTests(RabbitFixture rabbit) : IClassFixture<RabbitFixture>, IDisposable
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "alarm.schema.json")));

    private readonly TempFolder _folder = new();
    private readonly TestCertificates _certificates = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _folder.Dispose();
        _certificates.Dispose();
    }

    [Theory]
    [InlineData("5")]
    [InlineData("3.1.1")]
    public async Task A_late_subscriber_finds_the_state_of_each_alarm_of_each_vessel(string version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await using MqttJobChannel channel = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port, Version = version, TopicPrefix = "works/north", Alarms = true });
        using PlantStore store = Store("mqtt");
        Raise(store, "V/1", "V2");
        Assert.Null(store.Record(new AlarmAction("V2", AlarmKind.BelowLowerLimit, Given.Instant.AddHours(1), AlarmEvent.Acknowledge, "H. Example", "", Given.Instant, null)));
        Assert.Equal(1, store.TellAlarms(Given.Instant.AddHours(2), _ => "Bay 1"));
        await DeliverAllAsync(store, channel);

        Dictionary<string, JsonNode> retained = [];
        TaskCompletionSource both = new(TaskCreationOptions.RunContinuationsAsynchronously);
        using IMqttClient late = new MqttClientFactory().CreateMqttClient();
        late.ApplicationMessageReceivedAsync += received =>
        {
            retained[received.ApplicationMessage.Topic] = JsonNode.Parse(received.ApplicationMessage.Payload.ToArray())!;
            if (retained.Count == 2)
            {
                both.TrySetResult();
            }

            return Task.CompletedTask;
        };
        await late.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), Ended);
        await late.SubscribeAsync("works/north/alarms/+/+", cancellationToken: Ended);
        await both.Task.WaitAsync(MosquittoBroker.Patience, Ended);
        Assert.Equal("unacknowledged", (string?)retained["works/north/alarms/V_1/belowLowerLimit"]["alarm"]!["state"]);
        JsonNode acknowledged = retained["works/north/alarms/V2/belowLowerLimit"];
        Assert.Equal(("driftwatch.alarm.acknowledged", 2), ((string?)acknowledged["type"], (int)acknowledged["alarm"]!["revision"]!));
        Assert.All(retained.Values, document => AssertFits(document));
    }

    [Fact]
    public async Task Amqp_takes_each_notice_with_its_type()
    {
        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(cancellationToken: Ended);
        string queue = await RabbitFixture.MakeQueueAsync(far);
        await using AmqpJobChannel channel = new(new AmqpOptions { Host = "127.0.0.1", Port = rabbit.Broker.Port, RoutingKey = queue, Alarms = true });
        using PlantStore store = Store("amqp");
        Raise(store, "V1");
        await DeliverAllAsync(store, channel);
        BasicGetResult taken = await RabbitFixture.GetAsync(far, queue);
        Assert.Equal(("driftwatch.alarm.raised", "V1/BelowLowerLimit/1"), (taken.BasicProperties.Type, taken.BasicProperties.MessageId));
        AssertFits(JsonNode.Parse(taken.Body.ToArray())!);
    }

    [Fact]
    public async Task Amqp_1_0_takes_each_notice_as_a_cloud_event_in_order()
    {
        string address = $"/queue/alarms-{Guid.NewGuid():N}";
        await using Amqp10JobChannel channel = new(new Amqp10Options
        {
            Host = "127.0.0.1",
            Port = rabbit.Broker.Port,
            UserName = "guest",
            Password = _folder.Secret("guest"),
            Address = address,
            Alarms = true,
        });
        using PlantStore store = Store("amqp10");
        Raise(store, "V/1", "V2");
        await DeliverAllAsync(store, channel);
        Assert.Null(store.Record(new AlarmAction("V/1", AlarmKind.BelowLowerLimit, Given.Instant.AddHours(1), AlarmEvent.Acknowledge, "H. Example", "", Given.Instant, null)));
        Assert.Equal(1, store.TellAlarms(Given.Instant.AddHours(2), _ => "Bay 1"));
        await DeliverAllAsync(store, channel);

        Connection connection = await Connection.Factory.CreateAsync(new Address("127.0.0.1", rabbit.Broker.Port, "guest", "guest", "/", "amqp"));
        ReceiverLink far = new(new Session(connection), "far", address);
        foreach ((string type, string id, string source) in new[]
        {
            ("driftwatch.alarm.raised", "V/1/BelowLowerLimit/1", "/driftwatch/vessels/V%2F1"),
            ("driftwatch.alarm.raised", "V2/BelowLowerLimit/1", "/driftwatch/vessels/V2"),
            ("driftwatch.alarm.acknowledged", "V/1/BelowLowerLimit/2", "/driftwatch/vessels/V%2F1"),
        })
        {
            using Message taken = await far.ReceiveAsync(MosquittoBroker.Patience);
            far.Accept(taken);
            Assert.True(taken.Header.Durable);
            Assert.Equal((id, "application/json"), (taken.Properties.MessageId, taken.Properties.ContentType.ToString()));
            Assert.Equal(
                ("1.0", id, type, source, "urn:driftwatch:schema:alarm:1.0"),
                (Property("specversion"), Property("id"), Property("type"), Property("source"), Property("dataschema")));
            AssertFits(JsonNode.Parse((byte[])taken.Body)!);

            string Property(string name) => (string)taken.ApplicationProperties["cloudEvents_" + name];
        }

        await connection.CloseAsync();
    }

    [Fact]
    public async Task A_webhook_gets_a_signed_event_for_each()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        using WebhookChannel channel = new(new WebhookOptions { Name = "hook", Url = receiver.Url, Alarms = true }, TimeProvider.System);
        using PlantStore store = Store("hook");
        Raise(store, "V1");
        await DeliverAllAsync(store, channel);
        ReceivedRequest request = await receiver.NextAsync();
        JsonNode envelope = JsonNode.Parse(request.Body)!;
        Assert.Equal(("driftwatch.alarm.raised", "urn:driftwatch:schema:alarm:1.0"), ((string?)envelope["type"], (string?)envelope["dataschema"]));
        AssertFits(envelope["data"]!);
    }

    [Fact]
    public async Task A_flood_is_one_mail_with_its_likely_cause_and_few_are_one_mail_each()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        MailChannel channel = new(
            new MailOptions
            {
                Host = "127.0.0.1",
                Port = sink.Port,
                UserName = "jobs",
                Password = _folder.Secret("secret-1"),
                From = "driftwatch@works.invalid",
                To = ["crew@works.invalid"],
                Tls = new() { AuthorityFile = _certificates.AuthorityFile },
                Alarms = true,
            },
            AlarmHandling.Usual.Flood,
            _ => null);
        using PlantStore store = Store("mail");
        Raise(store, "V1", "V2");
        await DeliverAllAsync(store, channel);
        Assert.Equal("V1: below lower limit, raised (priority medium)", Read((await sink.TakeAsync()).Content).Subject);
        Assert.StartsWith("V2:", Read((await sink.TakeAsync()).Content).Subject, StringComparison.Ordinal);

        Raise(store, "V3", "V4", "V5", "V6");
        await DeliverAllAsync(store, channel);
        MimeMessage flood = Read((await sink.TakeAsync()).Content);
        Assert.Equal("4 alarm notices on 4 vessels (highest priority medium)", flood.Subject);
        Assert.Contains("4 vessels at once: below lower limit. One cause may be behind it", flood.TextBody, StringComparison.Ordinal);
        Assert.All(SafetyLines.All, line => Assert.Contains(line, flood.TextBody, StringComparison.Ordinal));
        Assert.Equal(4, flood.Attachments.Count());
    }

    [Fact]
    public async Task What_waits_while_a_broker_is_away_is_delivered_when_it_is_back_and_each_state_is_told_once()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await broker.StopAsync();
        await using MqttJobChannel channel = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port, Alarms = true });
        using PlantStore store = Store("mqtt");
        Raise(store, "V1");
        Assert.Equal(0, store.TellAlarms(Given.Instant.AddHours(1), _ => ""));
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        Task running = Dispatcher(store, channel).RunAsync(stop.Token);
        await UntilAsync(() => store.Pending("mqtt", 1) is [{ Tries: > 0 }]);
        await broker.StartAgainAsync();
        await UntilAsync(() => store.Pending("mqtt", 1).Count == 0);
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task An_alarm_that_its_receiver_refuses_is_a_dead_letter_holds_back_nobody_and_can_be_sent_again()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        receiver.Answer = request => ((string?)JsonNode.Parse(request.Body)!["id"] == "V1/BelowLowerLimit/1" ? 422 : 204, null);
        using WebhookChannel channel = new(new WebhookOptions { Name = "hook", Url = receiver.Url, Alarms = true }, TimeProvider.System);
        using PlantStore store = Store("hook");
        Raise(store, "V1", "V2");
        await DeliverAllAsync(store, channel);
        Assert.Equal(["V1/BelowLowerLimit/1", "V2/BelowLowerLimit/1"], [await IdAsync(), await IdAsync()]);
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(("hook", "V1/BelowLowerLimit/1", 1), (letter.Channel, letter.Notice.Key, letter.Tries));
        Assert.Contains("422", letter.Error, StringComparison.Ordinal);

        receiver.Answer = _ => (204, null);
        Assert.Equal(1, store.Resend(letter.Channel, letter.Sequence));
        await DeliverAllAsync(store, channel);
        Assert.Equal("V1/BelowLowerLimit/1", await IdAsync());
        Assert.Empty(store.DeadLetters());

        async Task<string> IdAsync() => (string)JsonNode.Parse((await receiver.NextAsync()).Body)!["id"]!;
    }

    [Fact]
    public async Task A_receiver_that_falls_over_one_alarm_gets_those_of_the_other_vessels()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        receiver.Answer = request => (request.Body.AsSpan().IndexOf("V1"u8) >= 0 ? 500 : 204, null);
        using WebhookChannel channel = new(new WebhookOptions { Name = "hook", Url = receiver.Url, Alarms = true }, TimeProvider.System);
        using PlantStore store = Store("hook");
        Raise(store, "V1", "V2", "V3");
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        OutboxDispatcher dispatcher = Dispatcher(store, channel);
        Task running = dispatcher.RunAsync(stop.Token);
        await UntilAsync(() => store.Pending("hook", 10) is [{ Refusals: > 0 }] && dispatcher.Status[0].Delivered == 2);
        Assert.Equal("V1/BelowLowerLimit/1", store.Pending("hook", 10)[0].Notice.Key);
        await stop.CancelAsync();
        await running;
    }

    private PlantStore Store(string channel) => new(new StoreOptions { Path = Path.Combine(_folder.Path, "plant.db"), AlarmChannels = [channel] });

    private static void Raise(PlantStore store, params string[] vessels)
    {
        foreach (string vessel in vessels)
        {
            store.Save(Given.Step(Given.Opened(Given.Job(vessel))) with
            {
                AlarmChanges = [new AlarmChange(vessel, AlarmKind.BelowLowerLimit, Given.Instant, AlarmEvent.ConditionOn, Priority.Medium, "Below its lower limit.")],
            });
        }

        Assert.Equal(vessels.Length, store.TellAlarms(Given.Instant, _ => "Bay 1"));
    }

    private static OutboxDispatcher Dispatcher(PlantStore store, IJobChannel channel) => new(
        store, [channel], new DispatchOptions { FirstRetry = TimeSpan.FromMilliseconds(20), LongestRetry = TimeSpan.FromMilliseconds(200), Poll = TimeSpan.FromMilliseconds(20) },
        TimeProvider.System, new Random(1), NullLogger<OutboxDispatcher>.Instance);

    private static async Task DeliverAllAsync(PlantStore store, IJobChannel channel)
    {
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        Task running = Dispatcher(store, channel).RunAsync(stop.Token);
        await UntilAsync(() => store.Pending(channel.Name, 1).Count == 0);
        await stop.CancelAsync();
        await running;
    }

    private static async Task UntilAsync(Func<bool> reached)
    {
        while (!reached())
        {
            await Task.Delay(20, Ended);
        }
    }

    private static void AssertFits(JsonNode document)
    {
        EvaluationResults results = Schema.Evaluate(System.Text.Json.JsonDocument.Parse(document.ToJsonString()).RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
        Assert.True(results.IsValid, System.Text.Json.JsonSerializer.Serialize(results));
    }

    private static MimeMessage Read(byte[] content) => MimeMessage.Load(new MemoryStream(content));
}
