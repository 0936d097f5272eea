using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging;
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

    /// <summary>A mistyped topic must not vanish without a trace.</summary>
    [Fact]
    public async Task What_neither_the_register_nor_a_subscriber_takes_is_set_aside_before_it_is_acknowledged()
    {
        var sink = new MemorySink { FailBefore = new IOException("No space left on device") };
        await using EmbeddedBroker broker = await StartAsync(sink);
        using IMqttClient sender = await ConnectAsync(broker, MqttProtocolVersion.V500);
        Task<MqttClientPublishResult> publishing = PublishAsync(sender, "nope/x/gas-pressure");
        await sink.Until(one => one.Failures > 0);
        Assert.False(publishing.IsCompleted);
        sink.FailBefore = null;
        Assert.True((await publishing.WaitAsync(MosquittoBroker.Patience, Ended)).IsSuccess);
        QuarantinedMessage aside = Assert.Single(sink.Quarantined);
        Assert.Equal("nope/x/gas-pressure", aside.Source);
        Assert.Contains("no vessel of the register has this topic", aside.Reason, StringComparison.Ordinal);
        Assert.Equal(Payload, System.Text.Encoding.UTF8.GetString(aside.Payload.Span));
        Assert.Empty(sink.Readings);
    }

    [Fact]
    public async Task The_topics_of_the_service_itself_are_not_set_aside()
    {
        var sink = new MemorySink();
        await using EmbeddedBroker broker = await StartAsync(sink, own: ["driftwatch", "works/jobs"]);
        using IMqttClient sender = await ConnectAsync(broker, MqttProtocolVersion.V500);
        foreach (string topic in (string[])["driftwatch/jobs/1", "driftwatch", "works/jobs/open/1"])
        {
            Assert.True((await PublishAsync(sender, topic)).IsSuccess);
        }

        await PublishAsync(sender, "driftwatching");
        await PublishAsync(sender, "works/jobsheet");
        Assert.Equal(["driftwatching", "works/jobsheet"], sink.Quarantined.Select(message => message.Source));
    }

    /// <summary>A first trial from the command line gives no id: MQTT 3.1.1 section 3.1.3.1, MQTT 5 section 3.1.3.1.</summary>
    [Theory]
    [InlineData("mqttv311")]
    [InlineData("mqttv5")]
    public async Task A_client_without_an_id_is_let_in(string version)
    {
        var sink = new MemorySink();
        await using EmbeddedBroker broker = await StartAsync(sink);
        for (int time = 0; time < 2; time++)
        {
            using Process sender = Process.Start(
                "mosquitto_pub", ["-h", "127.0.0.1", "-p", broker.Port.ToString(CultureInfo.InvariantCulture), "-V", version, "-q", "1", "-t", Topic, "-m", Payload]);
            await sender.WaitForExitAsync(Ended);
            Assert.Equal(0, sender.ExitCode);
        }

        Assert.Single(sink.Readings);
        Assert.Equal(2, sink.Offered);
    }

    [Fact]
    public async Task Of_mqtt_5_a_client_without_an_id_learns_the_one_it_was_given()
    {
        await using EmbeddedBroker broker = await StartAsync(new MemorySink());
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        MqttClientConnectResult result = await client.ConnectAsync(Nameless(broker, MqttProtocolVersion.V500, clean: true), Ended);
        Assert.StartsWith("unnamed-", result.AssignedClientIdentifier, StringComparison.Ordinal);
    }

    /// <summary>It would never find its session again [MQTT-3.1.3-8]. Told once as a warning, then at debug level.</summary>
    [Fact]
    public async Task A_client_that_wants_its_session_kept_needs_an_id()
    {
        HeardLog<EmbeddedBroker> log = new();
        await using EmbeddedBroker broker = await StartAsync(new MemorySink(), log: log);
        for (int time = 0; time < 2; time++)
        {
            // CONNECT of MQTT 3.1.1 (section 3.1): no flags, so no clean session; keep-alive 60 s; an empty id.
            using TcpClient client = new("127.0.0.1", broker.Port);
            NetworkStream stream = client.GetStream();
            await stream.WriteAsync((byte[])[0x10, 12, 0, 4, (byte)'M', (byte)'Q', (byte)'T', (byte)'T', 4, 0, 0, 60, 0, 0], Ended);
            byte[] answer = new byte[4];
            int length = await stream.ReadAtLeastAsync(answer, 4, throwOnEndOfStream: false, Ended);
            Assert.False(length == 4 && answer[3] == 0, "It was let in.");
        }

        Assert.Equal([LogLevel.Warning, LogLevel.Debug], log.Said.Select(said => said.Level));
        Assert.All(log.Said, said => Assert.Matches("is refused by the embedded broker: .*(ClientId|client id)", said.Text));
    }

    /// <summary>Out of memory is not tried again; whoever runs the broker must hear of it, and can still stop it.</summary>
    [Fact]
    public async Task When_the_commits_end_by_a_fault_whoever_runs_the_broker_is_told()
    {
        EmbeddedBroker broker = await StartAsync(new SpentSink());
        await Assert.ThrowsAsync<InsufficientMemoryException>(() => broker.Committing.WaitAsync(MosquittoBroker.Patience, Ended));
        await broker.DisposeAsync();
        using TcpClient client = new();
        await Assert.ThrowsAsync<SocketException>(async () => await client.ConnectAsync("127.0.0.1", broker.Port, Ended));
    }

    private static MqttClientOptions Nameless(EmbeddedBroker broker, MqttProtocolVersion version, bool clean) =>
        new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).WithProtocolVersion(version).WithClientId("").WithCleanSession(clean).Build();

    private static async Task<EmbeddedBroker> StartAsync(IReadingSink sink, string[]? own = null, ILogger<EmbeddedBroker>? log = null)
    {
        EmbeddedBrokerOptions options = new() { Port = FreePort.Find() };
        var broker = new EmbeddedBroker(
            own is null ? options : options with { OwnTopics = own }, new ReadingDecoder(TestRegister.OneVessel), sink, TimeProvider.System, log ?? NullLogger<EmbeddedBroker>.Instance);
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

    /// <summary>Has no memory left.</summary>
    private sealed class SpentSink : IReadingSink
    {
        public CommittedReadings Commit(
            IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories) =>
            throw new InsufficientMemoryException();

        public IReadOnlyList<SourceMemory> Memories() => throw new InsufficientMemoryException();
    }
}
