using System.Text;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>The subscriber against a real mosquitto: nothing lost, nothing doubled.</summary>
public class MqttSubscriberTests
{
    private const string Topic = "works/a1";

    public static TheoryData<MqttVersion> Versions { get; } = new(MqttVersion.V5, MqttVersion.V311);

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task Readings_arrive(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        await using RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await broker.PublishAsync(Topic, """[{"bt":1748935800,"n":"gas-pressure","u":"bar","v":101.5},{"n":"gas-temperature","u":"Cel","v":20}]""");
        await sink.Until(held => held.Readings.Count == 2);
        DateTimeOffset instant = DateTimeOffset.FromUnixTimeSeconds(1_748_935_800);
        Assert.Equal(1.015e7, sink.Readings[("A1", Signal.GasPressure, instant)], 3);
        Assert.Equal(293.15, sink.Readings[("A1", Signal.GasTemperature, instant)], 9);
        Assert.Empty(sink.Quarantined);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task Another_register_brings_other_topics_without_a_new_connection(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        ReadingDecoder decoder = new(TestRegister.OneVessel);
        await using RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink, decoder);
        decoder.Use(TestRegister.Of(TestRegister.Vessel("A1", "works/moved"), TestRegister.Vessel("A2", "works/a2")));
        await broker.SaysAsync($"Received UNSUBSCRIBE from {RunningSubscriber.ClientId}");

        const string Pack = """[{"bt":1748935800,"n":"gas-temperature","u":"Cel","v":20}]""";
        await broker.PublishAsync(Topic, Pack);
        await broker.PublishAsync("works/moved", Pack);
        await broker.PublishAsync("works/a2", Pack);
        await sink.Until(held => held.Readings.Count == 2);
        Assert.Equal(["A1", "A2"], sink.Readings.Keys.Select(key => key.Vessel).Order());
        Assert.Empty(sink.Quarantined);
        Assert.Equal((2, 1), (running.Subscriber.Status.MessagesReceived, running.Subscriber.Status.Connections));
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task Many_messages_are_committed_in_groups_and_each_once(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        await using RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await broker.PublishAsync(Topic, Numbered(0, 2_000));
        await sink.Until(held => held.Readings.Count == 2_000);
        Assert.Equal(2_000, sink.Offered);
        Assert.Equal(2_000, running.Subscriber.Status.MessagesReceived);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task Nothing_is_acknowledged_before_it_is_committed(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink full = new() { FailBefore = new IOException("No space left on device") };
        await using (RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), full))
        {
            await broker.PublishAsync(Topic, Numbered(0, 10));
            await running.Until(status => status.State == SubscriberState.CommitFailing);
            Assert.Equal("No space left on device", running.Subscriber.Status.Fault);
            await full.Until(held => held.Failures > 2);
        }

        Assert.Empty(full.Readings);
        MemorySink sink = new();
        await using RunningSubscriber second = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await sink.Until(held => held.Readings.Count == 10);
        Assert.Equal(10, sink.Offered);
    }

    [Fact]
    public async Task A_sink_that_recovers_gets_what_was_pending_and_no_message_twice()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new() { FailBefore = new IOException("database is locked") };
        await using (RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker), sink))
        {
            await broker.PublishAsync(Topic, Numbered(0, 10));
            await running.Until(status => status.State == SubscriberState.CommitFailing);
            sink.FailBefore = null;
            await running.Until(status => status.State == SubscriberState.Receiving);
            await sink.Until(held => held.Readings.Count == 10);
        }

        await SubscriberLeftAsync(broker);

        // Had one not been acknowledged, it would come before the one that is published now.
        MemorySink later = new();
        await using RunningSubscriber second = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker), later);
        await broker.PublishAsync(Topic, Numbered(10, 1));
        await later.Until(held => held.Readings.Count > 0);
        Assert.Equal(Instant(10), Assert.Single(later.Readings).Key.Instant);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task What_is_published_while_the_subscriber_is_away_arrives_later(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        await using (await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink))
        {
        }

        await broker.PublishAsync(Topic, Numbered(0, 300));
        await using RunningSubscriber back = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await sink.Until(held => held.Readings.Count == 300);
        Assert.Equal(300, sink.Offered);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task What_was_committed_but_not_acknowledged_comes_again_and_changes_nothing(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();

        // The commit succeeds and the subscriber ends before it learns of it, as when it is killed in between.
        MemorySink sink = new() { FailAfter = new IOException("killed") };
        await using (RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink))
        {
            await broker.PublishAsync(Topic, Numbered(0, 1));
            await sink.Until(held => held.Failures > 0);
        }

        int offered = sink.Offered;
        Assert.True(offered >= 1);
        Assert.Single(sink.Readings);
        sink.FailAfter = null;
        await using RunningSubscriber second = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await sink.Until(held => held.Offered == offered + 1);
        Assert.Single(sink.Readings);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task A_restart_of_the_broker_loses_nothing(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        await using RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        for (int round = 0; round < 3; round++)
        {
            sink.FailBefore = new IOException("database is locked");
            await broker.PublishAsync(Topic, Numbered(round * 10, 5));
            await running.Until(status => status.State == SubscriberState.CommitFailing);
            await broker.StopAsync();
            await broker.StartAgainAsync();
            sink.FailBefore = null;
            await broker.PublishAsync(Topic, Numbered((round * 10) + 5, 5));
            int expected = (round + 1) * 10;
            await sink.Until(held => held.Readings.Count == expected);
        }

        Assert.Equal(30, sink.Readings.Count);
        await running.Until(status => status.State == SubscriberState.Receiving && status.Connections > 1);
    }

    [Fact]
    public async Task The_subscriber_waits_for_a_broker_that_is_not_there_yet()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await broker.StopAsync();
        MemorySink sink = new();
        await using RunningSubscriber running = new(RunningSubscriber.OptionsFor(broker), sink);
        await running.Until(status => status.State == SubscriberState.Connecting && status.Fault is not null);
        await broker.StartAgainAsync();
        await running.Until(status => status.State == SubscriberState.Receiving);
        await broker.PublishAsync(Topic, Numbered(0, 1));
        await sink.Until(held => held.Readings.Count == 1);
    }

    [Fact]
    public async Task A_message_that_cannot_be_read_is_set_aside_acknowledged_and_stops_nobody()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new();
        MqttSubscriberOptions options = RunningSubscriber.OptionsFor(broker) with { TopicFilters = ["works/#"] };
        await using (await RunningSubscriber.ReceivingAsync(options, sink))
        {
            await broker.PublishAsync(Topic, "no JSON", """[{"n":"gas-pressure","v":9999},{"n":"gas-temperature","v":20}]""");
            await broker.PublishAsync("works/unknown", "7");
            await broker.PublishAsync(Topic, Numbered(0, 1));
            await sink.Until(held => held.Readings.ContainsKey(("A1", Signal.GasPressure, Instant(0))));
        }

        await SubscriberLeftAsync(broker);
        Assert.Equal([Topic, Topic, "works/unknown"], sink.Quarantined.Select(message => message.Source));
        QuarantinedMessage first = sink.Quarantined[0];
        Assert.Equal("no JSON", Encoding.UTF8.GetString(first.Payload.Span));
        Assert.StartsWith("payload: it is no JSON", first.Reason, StringComparison.Ordinal);
        Assert.Equal(2, sink.Readings.Count);

        MemorySink later = new();
        await using RunningSubscriber second = await RunningSubscriber.ReceivingAsync(options, later);
        await broker.PublishAsync(Topic, Numbered(1, 1));
        await later.Until(held => held.Readings.Count > 0);
        Assert.Empty(later.Quarantined);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task A_kept_message_without_a_time_is_no_reading_of_now(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await broker.PublishKeptAsync(Topic, """{ "gas-pressure": 100 }""");
        MemorySink sink = new();
        await using RunningSubscriber running = await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(broker, version), sink);
        await sink.Until(held => held.Quarantined.Count > 0);
        Assert.Empty(sink.Readings);
    }

    [Theory]
    [MemberData(nameof(Versions))]
    public async Task A_broker_that_grants_less_than_QoS_1_is_told_in_the_status(MqttVersion version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync("allow_anonymous true\nmax_qos 0");
        await using RunningSubscriber running = new(RunningSubscriber.OptionsFor(broker, version), new MemorySink());
        await running.Until(status => status.Fault is not null);
        Assert.Equal(
            "The broker does not grant 'works/a1' at QoS 1 (GrantedQoS0); allow client 'driftwatch-test' to read it.",
            running.Subscriber.Status.Fault);
        Assert.Equal(SubscriberState.Connecting, running.Subscriber.Status.State);
    }

    [Fact]
    public async Task A_fault_of_its_own_ends_the_run_and_is_not_swallowed()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        MemorySink sink = new() { FailBefore = new IOException("database is locked") };
        MqttSubscriber subscriber = new(
            RunningSubscriber.OptionsFor(broker), new ReadingDecoder(TestRegister.OneVessel), sink, TimeProvider.System, NullLogger<MqttSubscriber>.Instance);
        TaskCompletionSource receiving = new(TaskCreationOptions.RunContinuationsAsynchronously);
        subscriber.StateChanged += status =>
        {
            if (status.State == SubscriberState.Receiving)
            {
                receiving.TrySetResult();
            }

            if (status.State == SubscriberState.CommitFailing)
            {
                throw new InvalidOperationException("the listener failed");
            }
        };
        Task run = subscriber.RunAsync(TestContext.Current.CancellationToken);
        await receiving.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        await broker.PublishAsync(Topic, Numbered(0, 1));
        InvalidOperationException fault = await Assert.ThrowsAsync<InvalidOperationException>(
            () => run.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken));
        Assert.Equal("the listener failed", fault.Message);
    }

    [Fact]
    public void Options_out_of_range_are_told_together()
    {
        MqttSubscriberOptions options = new() { Host = "", Port = 0, ClientId = " ", ReceiveMaximum = 65_536, PasswordFile = "secret" };
        ArgumentException exception = Assert.Throws<ArgumentException>(options.Validate);
        Assert.Equal(
            "Host is empty; name the broker. Port is 0; allowed is 1 to 65535. ClientId is empty; the broker keeps the session under it. "
            + "ReceiveMaximum is 65536; allowed is 1 to 65535. A password is given without UserName; give both.",
            exception.Message);
    }

    private static string[] Numbered(int from, int count) =>
        [.. Enumerable.Range(from, count).Select(number => FormattableString.Invariant(
            $$"""[{"n":"gas-pressure","u":"bar","v":100,"t":{{1_748_935_800 + number}}}]"""))];

    private static DateTimeOffset Instant(int number) => DateTimeOffset.FromUnixTimeSeconds(1_748_935_800 + number);

    /// <summary>
    /// Ends when the broker has seen the subscriber leave, once for each time it did. Its acknowledgements are all read by then;
    /// a client of the same id that comes earlier makes the broker drop what it has not read of the old connection.
    /// </summary>
    private static Task SubscriberLeftAsync(MosquittoBroker broker) => broker.SaysAsync($"Client {RunningSubscriber.ClientId} disconnected");
}
