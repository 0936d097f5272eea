using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>The broker inside the service: what it has acknowledged is committed.</summary>
public sealed class EmbeddedBrokerTests
{
    private const string Topic = "works/a1";
    private const string Payload = """[{"n":"gas-pressure","u":"Pa","t":1772000000,"v":9e6}]""";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(MqttProtocolVersion.V500)]
    [InlineData(MqttProtocolVersion.V311)]
    public async Task A_sender_hears_of_a_message_only_after_its_commit(MqttProtocolVersion version)
    {
        var sink = new HeldSink();
        await using EmbeddedBroker broker = await StartAsync(sink);
        using IMqttClient sender = await ConnectAsync(broker, version);
        Task<MqttClientPublishResult> publishing = PublishAsync(sender, Topic);
        await sink.Asked.Task.WaitAsync(MosquittoBroker.Patience, Ended);
        Assert.False(publishing.IsCompleted);
        sink.LetGo.SetResult();
        Assert.True((await publishing.WaitAsync(MosquittoBroker.Patience, Ended)).IsSuccess);
        Assert.Equal(1, broker.Tally.Readings);
    }

    [Fact]
    public async Task A_failing_commit_is_tried_again_until_it_succeeds_and_then_acknowledged()
    {
        var sink = new FailingSink(failures: 2);
        await using EmbeddedBroker broker = await StartAsync(sink);
        using IMqttClient sender = await ConnectAsync(broker, MqttProtocolVersion.V500);
        Assert.True((await PublishAsync(sender, Topic).WaitAsync(MosquittoBroker.Patience, Ended)).IsSuccess);
        Assert.Equal(3, sink.Tries);
        Assert.Null(broker.Tally.Fault);
    }

    [Fact]
    public async Task A_message_unacknowledged_when_the_service_stops_is_not_acknowledged_at_all()
    {
        var sink = new HeldSink();
        EmbeddedBroker broker = await StartAsync(sink);
        using IMqttClient sender = await ConnectAsync(broker, MqttProtocolVersion.V500);
        using IMqttClient second = await ConnectAsync(broker, MqttProtocolVersion.V500);
        _ = PublishAsync(sender, Topic);
        await sink.Asked.Task.WaitAsync(MosquittoBroker.Patience, Ended);
        Task<MqttClientPublishResult> behind = PublishAsync(second, Topic);
        Task stopping = broker.DisposeAsync().AsTask();
        sink.LetGo.SetResult();
        await stopping.WaitAsync(MosquittoBroker.Patience, Ended);
        await broker.DisposeAsync(); // Once more does no harm.
        await Assert.ThrowsAnyAsync<Exception>(() => behind.WaitAsync(MosquittoBroker.Patience, Ended));
        Assert.Equal(1, sink.Commits);
    }

    [Fact]
    public async Task Topics_of_others_pass_without_being_taken_for_readings()
    {
        var sink = new FailingSink(failures: 0);
        await using EmbeddedBroker broker = await StartAsync(sink);
        using IMqttClient listener = await ConnectAsync(broker, MqttProtocolVersion.V500);
        TaskCompletionSource<string> heard = new(TaskCreationOptions.RunContinuationsAsynchronously);
        listener.ApplicationMessageReceivedAsync += args =>
        {
            heard.TrySetResult(args.ApplicationMessage.Topic);
            return Task.CompletedTask;
        };
        await listener.SubscribeAsync("other/#", cancellationToken: Ended);
        using IMqttClient sender = await ConnectAsync(broker, MqttProtocolVersion.V500);
        await PublishAsync(sender, "other/topic");
        Assert.Equal("other/topic", await heard.Task.WaitAsync(MosquittoBroker.Patience, Ended));
        Assert.Equal(0, sink.Tries);
    }

    private static async Task<EmbeddedBroker> StartAsync(IReadingSink sink)
    {
        var broker = new EmbeddedBroker(
            new EmbeddedBrokerOptions { Port = FreePort.Find() }, new ReadingDecoder(TestRegister.OneVessel), sink, TimeProvider.System, NullLogger<EmbeddedBroker>.Instance);
        await broker.StartAsync();
        return broker;
    }

    private static async Task<IMqttClient> ConnectAsync(EmbeddedBroker broker, MqttProtocolVersion version)
    {
        IMqttClient client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(
            new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).WithProtocolVersion(version).Build(), Ended);
        return client;
    }

    private static Task<MqttClientPublishResult> PublishAsync(IMqttClient sender, string topic) =>
        sender.PublishStringAsync(topic, Payload, MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: Ended);

    /// <summary>Commits when it is let go.</summary>
    private sealed class HeldSink : IReadingSink
    {
        public TaskCompletionSource Asked { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public TaskCompletionSource LetGo { get; } = new();

        public int Commits { get; private set; }

        public CommittedReadings Commit(
            IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
        {
            Asked.TrySetResult();
            LetGo.Task.Wait();
            Commits++;
            return default;
        }

        public IReadOnlyList<SourceMemory> Memories() => [];
    }

    /// <summary>Fails a number of times, then commits.</summary>
    private sealed class FailingSink(int failures) : IReadingSink
    {
        public int Tries { get; private set; }

        public CommittedReadings Commit(
            IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
        {
            if (++Tries <= failures)
            {
                throw new IOException("No space left on device");
            }

            return default;
        }

        public IReadOnlyList<SourceMemory> Memories() => [];
    }
}
