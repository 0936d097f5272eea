using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Tests.Mqtt;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Protocol;
using static DriftWatch.TestPeers.PumpUnitMessages;

namespace DriftWatch.Acquisition.Tests.Sparkplug;

/// <summary>What Sparkplug births said is known after a restart, and messages that came before their birth wait for it.</summary>
public sealed class SparkplugMemoryTests : IAsyncLifetime
{
    private const string Group = "spBv1.0/works/";

    private static readonly DateTimeOffset Arrived = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);

    private readonly SparkplugLibrary _library = SparkplugLibrary.Start();
    private readonly MemorySink _sink = new();
    private ReadingDecoder _decoder = new(RegisterOf("gas/temperature"));

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync() => await _library.DisposeAsync();

    [Fact]
    public async Task After_a_restart_aliases_are_known()
    {
        await BirthsAsync(7);
        await TakeAsync("DDATA/pu1/a1", Data(2));
        Restart();
        DecodedPayload outcome = await TakeAsync("DDATA/pu1/a1", Data(3));
        Assert.Equal((1, false, null), (outcome.Taken, outcome.Held, outcome.RebirthTopic));
        Assert.Equal(4, _sink.Readings.Count);
    }

    [Fact]
    public async Task After_a_restart_with_another_metric_in_the_register_the_birth_is_asked_for()
    {
        await BirthsAsync(7);
        Restart(RegisterOf("gas/temperature/shell"));
        DecodedPayload outcome = await TakeAsync("DDATA/pu1/a1", Data(2));
        Assert.Equal((true, Group + "NCMD/pu1"), (outcome.Held, outcome.RebirthTopic));
    }

    [Fact]
    public async Task Messages_after_a_lost_one_wait_over_a_restart_and_are_read_by_the_birth_of_the_same_session()
    {
        await BirthsAsync(7);
        for (int sequence = 5; sequence < 8; sequence++)
        {
            Assert.True((await TakeAsync("DDATA/pu1/a1", Data(sequence))).Held);
        }

        Assert.Equal(2, _sink.Readings.Count);
        Restart();
        Assert.Equal(3, Assert.Single(_sink.Memories()).Held.Count);
        await BirthsAsync(7);
        Assert.Equal(5, _sink.Readings.Count);
        Assert.Empty(_sink.Quarantined);
        Assert.Empty(Assert.Single(_sink.Memories()).Held);
    }

    [Fact]
    public async Task A_message_of_a_session_that_is_over_is_set_aside_whole()
    {
        await BirthsAsync(7);
        await TakeAsync("DDATA/pu1/a1", Data(5));
        await BirthsAsync(8);
        QuarantinedMessage message = Assert.Single(_sink.Quarantined);
        Assert.Equal(Group + "DDATA/pu1/a1", message.Source);
        Assert.Equal(await _library.EncodeAsync(Data(5)), message.Payload.ToArray());
        Assert.Contains("bdSeq 7 was followed by 8", message.Reason, StringComparison.Ordinal);
        Assert.Equal(2, _sink.Readings.Count);
    }

    [Fact]
    public async Task A_message_whose_alias_stands_for_another_metric_by_now_is_set_aside()
    {
        await BirthsAsync(7);
        await TakeAsync("DDATA/pu1/a1", Data(5));
        await BirthsAsync(7, pressureAlias: 3, temperatureAlias: 2);
        Assert.Contains("stood for other metrics", Assert.Single(_sink.Quarantined).Reason, StringComparison.Ordinal);
        Assert.Equal(2, _sink.Readings.Count);
    }

    /// <summary>What was committed and not acknowledged comes again after a kill, in order and marked as sent before.</summary>
    [Fact]
    public async Task What_is_sent_again_is_no_lost_message()
    {
        await BirthsAsync(7);
        for (int sequence = 2; sequence < 6; sequence++)
        {
            await TakeAsync("DDATA/pu1/a1", Data(sequence));
        }

        Restart();
        for (int sequence = 3; sequence < 6; sequence++)
        {
            Assert.Null((await TakeAsync("DDATA/pu1/a1", Data(sequence), sentAgain: true)).RebirthTopic);
        }

        DecodedPayload outcome = await TakeAsync("DDATA/pu1/a1", Data(6));
        Assert.Equal((1, null), (outcome.Taken, outcome.RebirthTopic));
        Assert.Equal(2 + 5, _sink.Readings.Count);
        Assert.Empty(_sink.Quarantined);
        Assert.Empty(Assert.Single(_sink.Memories()).Held);
    }

    [Fact]
    public async Task Births_that_are_sent_again_are_no_lost_message_either()
    {
        await TakeAsync("NBIRTH/pu1", NodeBirth(7));
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3));
        await TakeAsync("DDATA/pu1/a1", Data(2));
        Restart();
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3), sentAgain: true);
        await TakeAsync("DDATA/pu1/a1", Data(2), sentAgain: true);
        Assert.Equal(1, (await TakeAsync("DDATA/pu1/a1", Data(3))).Taken);
        Assert.Empty(Assert.Single(_sink.Memories()).Held);

        Restart();
        await TakeAsync("NBIRTH/pu1", NodeBirth(7), sentAgain: true);
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3), sentAgain: true);
        await TakeAsync("DDATA/pu1/a1", Data(2), sentAgain: true);
        await TakeAsync("DDATA/pu1/a1", Data(3), sentAgain: true);
        Assert.Equal(1, (await TakeAsync("DDATA/pu1/a1", Data(4))).Taken);
        Assert.Empty(_sink.Quarantined);
    }

    [Fact]
    public async Task More_than_are_held_are_set_aside()
    {
        byte[] payload = await _library.EncodeAsync(Data(9));
        List<VesselReading> readings = [];
        int held = 0;
        DecodedPayload outcome;
        do
        {
            outcome = _decoder.Decode(Group + "DDATA/pu1/a1", payload, Arrived, true, readings);
            held += outcome.Held ? 1 : 0;
        }
        while (outcome.Held);
        Assert.Equal(20_000, held);
        Assert.Contains("as many messages as are held wait for it already", outcome.Reason, StringComparison.Ordinal);
    }

    /// <summary>Against a real mosquitto: data that waited in the session while the service was away.</summary>
    [Fact]
    public async Task Data_that_waited_at_the_broker_are_read_after_a_restart()
    {
        CancellationToken ended = TestContext.Current.CancellationToken;
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using IMqttClient node = new MqttClientFactory().CreateMqttClient();
        await node.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ended);
        MqttSubscriberOptions options = RunningSubscriber.OptionsFor(broker);
        await using (await RunningSubscriber.ReceivingAsync(options, _sink, _decoder))
        {
            await PublishAsync("NBIRTH/pu1", NodeBirth(7));
            await PublishAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3));
            await _sink.Until(held => held.Readings.Count == 2);

            // Taken from the broker, and never committed.
            _sink.FailBefore = new IOException("No space left on device");
            await PublishAsync("DDATA/pu1/a1", Data(2));
            await _sink.Until(held => held.Failures > 0);
        }

        for (int sequence = 3; sequence < 40; sequence++)
        {
            await PublishAsync("DDATA/pu1/a1", Data(sequence));
        }

        _sink.FailBefore = null;
        await using (await RunningSubscriber.ReceivingAsync(options, _sink, new ReadingDecoder(RegisterOf("gas/temperature"))))
        {
            await _sink.Until(held => held.Readings.Count == 2 + 38);
        }

        Assert.Empty(_sink.Quarantined);

        async Task PublishAsync(string topic, string payload) => await node.PublishBinaryAsync(
            Group + topic, await _library.EncodeAsync(payload), MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: ended);
    }

    /// <summary>The messages were acknowledged when they were held; the birth that is above the rate must not take them along.</summary>
    [Fact]
    public async Task A_birth_above_the_rate_loses_no_message_that_waited_for_it()
    {
        await BirthsAsync(7);
        for (int sequence = 5; sequence < 8; sequence++)
        {
            Assert.True((await TakeAsync("DDATA/pu1/a1", Data(sequence))).Held);
        }

        Assert.Equal(2, _sink.Readings.Count);
        await CommitAsync(burst: 1, ("NBIRTH/pu1", NodeBirth(7)), ("DBIRTH/pu1/a1", DeviceBirth(2, 3)));
        Assert.Equal(5, _sink.Readings.Count);
        Assert.Empty(Assert.Single(_sink.Memories()).Held);
    }

    [Fact]
    public async Task A_message_above_the_rate_is_not_held()
    {
        await CommitAsync(burst: 2, [.. Enumerable.Range(2, 4).Select(sequence => ("DDATA/pu1/a1", Data(sequence)))]);
        Assert.Equal(2, Assert.Single(_sink.Memories()).Held.Count);
        Assert.Contains("more than 1 messages a second", Assert.Single(_sink.Quarantined).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_message_that_waited_for_a_device_no_longer_in_the_register_is_set_aside()
    {
        await BirthsAsync(7);
        Assert.True((await TakeAsync("DDATA/pu1/a1", Data(5))).Held);
        Restart(TestRegister.Of(TestRegister.Sources(
            "A2",
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a2", "name": "gas/pressure" """,
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a2", "name": "gas/temperature" """)));
        await BirthsAsync(7);
        QuarantinedMessage message = Assert.Single(_sink.Quarantined);
        Assert.Equal(await _library.EncodeAsync(Data(5)), message.Payload.ToArray());
        Assert.Contains("device 'a1' is no longer in the register", message.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task No_held_message_is_lost_while_another_register_is_taken()
    {
        byte[] payload = await _library.EncodeAsync(Data(9));
        string[] others = [.. Enumerable.Range(0, 200).Select(at => TestRegister.Sources(
            $"B{at}",
            $""" "format": "sparkplugB", "topic": "spBv1.0/works/other{at}/b", "name": "gas/pressure" """,
            $""" "format": "sparkplugB", "topic": "spBv1.0/works/other{at}/b", "name": "gas/temperature" """))];
        string first = TestRegister.Sources(
            "A1",
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" """,
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/temperature" """);
        VesselRegister[] registers = [TestRegister.Of([first, .. others]), TestRegister.Of([first, .. others[1..]])];
        using CancellationTokenSource done = new();
        Task changing = Task.Run(
            () =>
            {
                for (int at = 0; !done.IsCancellationRequested; at++)
                {
                    _decoder.Use(registers[at % 2]);
                }
            },
            TestContext.Current.CancellationToken);
        Dictionary<long, HeldMessage> held = [];
        int sent = 0;
        for (; sent < 5000; sent++)
        {
            Assert.True(_decoder.Decode(Group + "DDATA/pu1/a1", payload, Arrived, true, []).Held);
            if (sent % 100 == 0)
            {
                Keep();
            }
        }

        await done.CancelAsync();
        await changing;
        Keep();
        Assert.Equal(sent, held.Count);

        void Keep()
        {
            foreach (HeldMessage message in _decoder.TakeMemories().Where(memory => memory.Source == Group + "pu1").SelectMany(memory => memory.Held))
            {
                held[message.Number] = message;
            }
        }
    }

    private async Task CommitAsync(int burst, params (string Topic, string Payload)[] messages)
    {
        Channel<IncomingMessage> arrived = Channel.CreateUnbounded<IncomingMessage>();
        foreach ((string topic, string payload) in messages)
        {
            await arrived.Writer.WriteAsync(
                new(Group + topic, await _library.EncodeAsync(payload), Arrived, Kept: false, SentAgain: false, () => Task.CompletedTask),
                TestContext.Current.CancellationToken);
        }

        arrived.Writer.Complete();
        CommitLoop loop = new(
            _decoder, _sink, new CommitPace(100, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1)), TimeProvider.System,
            NullLogger.Instance, new SourceRateOptions { MessagesPerSecond = 1, Burst = burst }, (_, _) => Task.CompletedTask, _ => { });
        await loop.RunAsync(arrived.Reader, TestContext.Current.CancellationToken);
    }

    private static VesselRegister RegisterOf(string temperature) => TestRegister.Of(TestRegister.Sources(
        "A1",
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" """,
        $""" "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "{temperature}" """));

    private async Task BirthsAsync(int session, int pressureAlias = 2, int temperatureAlias = 3)
    {
        await TakeAsync("NBIRTH/pu1", NodeBirth(session));
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth(pressureAlias, temperatureAlias));
    }

    private async Task<DecodedPayload> TakeAsync(string topic, string payload, bool sentAgain = false)
    {
        List<VesselReading> readings = [];
        DecodedPayload outcome = _decoder.Decode(Group + topic, await _library.EncodeAsync(payload), Arrived, true, readings, sentAgain);
        _sink.Commit(readings, outcome.Late, _decoder.TakeMemories());
        return outcome;
    }

    private void Restart(VesselRegister? register = null)
    {
        _decoder = new ReadingDecoder(register ?? RegisterOf("gas/temperature"));
        _decoder.Remember(_sink.Memories());
    }
}
