using System.Globalization;
using System.Text.Json;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Tests.Mqtt;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.TestPeers;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Acquisition.Tests.Sparkplug;

/// <summary>
/// Sparkplug B (ISO/IEC 20237): births, data, deaths, aliases, lost messages. Every payload is made by a published library,
/// not by the code under test.
/// </summary>
public sealed class SparkplugTests : IAsyncLifetime
{
    private static readonly DateTimeOffset Arrived = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);

    private static readonly VesselRegister Register = TestRegister.Of(TestRegister.Sources(
        "A1",
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" """,
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/temperature" """,
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1", "name": "released" """));

    // 1748935800 is 2025-06-03T07:30:00Z (by date -u -d @1748935800).
    private const string NodeBirth = """
        { "timestamp": 1748935800000, "seq": 0, "metrics": [
          { "name": "bdSeq", "type": "Int64", "value": 7 },
          { "name": "Node Control/Rebirth", "type": "Boolean", "value": false },
          { "name": "released", "alias": 1, "type": "Boolean", "value": true } ] }
        """;

    private const string DeviceBirth = """
        { "timestamp": 1748935800500, "seq": 1, "metrics": [
          { "name": "gas/pressure", "alias": 2, "type": "Double", "value": 101.5 },
          { "name": "gas/temperature", "alias": 3, "type": "Float", "value": 20.25, "timestamp": 1748935799000 },
          { "name": "motor/rpm", "alias": 4, "type": "Int32", "value": 1480 } ] }
        """;

    private readonly SparkplugLibrary _library = SparkplugLibrary.Start();
    private readonly ReadingDecoder _decoder = new(Register);
    private DateTimeOffset _now = Arrived;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync() => await _library.DisposeAsync();

    [Fact]
    public void One_filter_hears_a_node_and_its_devices() => Assert.Equal(["spBv1.0/works/+/pu1/#"], _decoder.Filters);

    [Fact]
    public async Task Births_bring_values_and_data_follow_by_alias()
    {
        Assert.Equal(["A1 Depressurised 07:30:00 1"], (await TakeAsync("NBIRTH/pu1", NodeBirth)).Lines);
        Assert.Equal(["A1 GasPressure 07:30:00.5 10150000", "A1 GasTemperature 07:29:59 293.4"], (await TakeAsync("DBIRTH/pu1/a1", DeviceBirth)).Lines);
        (string[] lines, DecodedPayload outcome) = await TakeAsync("DDATA/pu1/a1", """
            { "timestamp": 1748935860000, "seq": 2, "metrics": [
              { "alias": 2, "type": "Double", "value": 101.25 }, { "alias": 4, "type": "Int32", "value": 1475 },
              { "alias": 3, "type": "Int16", "value": -5 }, { "alias": 1, "type": "Boolean", "value": false } ] }
            """);

        // Alias 1 is the node's own, and no business of the device.
        Assert.Equal(["A1 GasPressure 07:31:00 10125000", "A1 GasTemperature 07:31:00 268.15"], lines);
        Assert.False(outcome.HasRejected);
        Assert.Null(outcome.RebirthTopic);
        Assert.Equal(["A1 Depressurised 07:32:00 0"], (await TakeAsync("NDATA/pu1", """
            { "timestamp": 1748935920000, "seq": 3, "metrics": [ { "alias": 1, "type": "Boolean", "value": false } ] }
            """)).Lines);
    }

    /// <summary>All whole-number types, at their ends where a temperature in K may stand there.</summary>
    [Theory]
    [InlineData("Int8", -40)]
    [InlineData("Int16", -40)]
    [InlineData("Int32", -40)]
    [InlineData("Int64", -40)]
    [InlineData("UInt8", 125)]
    [InlineData("UInt16", 125)]
    [InlineData("UInt32", 125)]
    [InlineData("UInt64", 125)]
    [InlineData("Float", -0.5)]
    [InlineData("Double", -0.1)]
    public async Task Every_type_of_number_is_read(string type, double value)
    {
        (string[] lines, DecodedPayload outcome) = await TakeAsync("DDATA/pu1/a1", string.Create(CultureInfo.InvariantCulture, $$"""
            { "timestamp": 1748935860000, "seq": 2, "metrics": [ { "name": "gas/temperature", "type": "{{type}}", "value": {{value}} } ] }
            """));
        Assert.Equal([string.Create(CultureInfo.InvariantCulture, $"A1 GasTemperature 07:31:00 {value + 273.15:0.######}")], lines);

        // By name it can be taken; the birth is asked for all the same.
        Assert.False(outcome.HasRejected);
        Assert.Equal("spBv1.0/works/NCMD/pu1", outcome.RebirthTopic);
    }

    [Fact]
    public async Task Without_a_birth_a_message_by_alias_waits_and_the_birth_is_asked_for_now_and_then()
    {
        (string[] lines, DecodedPayload outcome) = await TakeAsync("DDATA/pu1/a1", Pressure(alias: 2, sequence: 9));
        Assert.Empty(lines);
        Assert.Equal((true, false), (outcome.Held, outcome.HasRejected));
        Assert.Equal("spBv1.0/works/NCMD/pu1", outcome.RebirthTopic);
        Assert.Null((await TakeAsync("DDATA/pu1/a1", Pressure(2, 10))).Outcome.RebirthTopic);
        _now = _now.AddSeconds(10);
        Assert.NotNull((await TakeAsync("DDATA/pu1/a1", Pressure(2, 11))).Outcome.RebirthTopic);
    }

    [Fact]
    public async Task A_lost_message_makes_aliases_void_until_the_next_birth()
    {
        await TakeAsync("NBIRTH/pu1", NodeBirth);
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth);
        Assert.Single((await TakeAsync("DDATA/pu1/a1", Pressure(2, 2))).Lines);
        Assert.Single((await TakeAsync("DDATA/pu1/a1", Pressure(2, 2))).Lines); // the same message again
        (string[] lines, DecodedPayload outcome) = await TakeAsync("DDATA/pu1/a1", Pressure(2, 4));
        Assert.Empty(lines);
        Assert.NotNull(outcome.RebirthTopic);

        await TakeAsync("NBIRTH/pu1", NodeBirth);
        Assert.Empty((await TakeAsync("DDATA/pu1/a1", Pressure(2, 1))).Lines); // its device is not born yet
        await TakeAsync("NBIRTH/pu1", NodeBirth);
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth.Replace("\"alias\": 2", "\"alias\": 22", StringComparison.Ordinal));
        Assert.Empty((await TakeAsync("DDATA/pu1/a1", Pressure(2, 2))).Lines); // the alias of before
        Assert.Single((await TakeAsync("DDATA/pu1/a1", Pressure(22, 3))).Lines);
    }

    [Fact]
    public async Task Sequence_numbers_run_through_all_devices_and_from_255_to_0()
    {
        await TakeAsync("NBIRTH/pu1", NodeBirth);
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth);
        for (int sequence = 2; sequence < 256; sequence++)
        {
            // A device that is not in the register takes its numbers from the same row.
            await TakeAsync("DDATA/pu1/other", Pressure(99, sequence));
        }

        Assert.Single((await TakeAsync("DDATA/pu1/a1", Pressure(2, 0))).Lines);
    }

    [Fact]
    public async Task Deaths_make_aliases_void_and_the_will_of_an_older_session_does_not()
    {
        const string Will = """{ "timestamp": 1748935860000, "metrics": [ { "name": "bdSeq", "type": "Int64", "value": 6 } ] }""";
        await TakeAsync("NBIRTH/pu1", NodeBirth);
        await TakeAsync("DBIRTH/pu1/a1", DeviceBirth);
        await TakeAsync("NDEATH/pu1", Will);
        Assert.Single((await TakeAsync("DDATA/pu1/a1", Pressure(2, 2))).Lines);
        await TakeAsync("DDEATH/pu1/a1", """{ "timestamp": 1748935860000, "seq": 3, "metrics": [] }""");
        Assert.Empty((await TakeAsync("DDATA/pu1/a1", Pressure(2, 4))).Lines);
        Assert.Single((await TakeAsync("NDATA/pu1", """
            { "timestamp": 1748935920000, "seq": 5, "metrics": [ { "alias": 1, "type": "Boolean", "value": false } ] }
            """)).Lines);
        await TakeAsync("NDEATH/pu1", Will.Replace("6", "7", StringComparison.Ordinal));
        Assert.Empty((await TakeAsync("NDATA/pu1", """
            { "timestamp": 1748935920000, "seq": 6, "metrics": [ { "alias": 1, "type": "Boolean", "value": false } ] }
            """)).Lines);
    }

    [Fact]
    public async Task What_is_no_good_reading_is_told()
    {
        await TakeAsync("NBIRTH/pu1", NodeBirth);
        (string[] lines, DecodedPayload outcome) = await TakeAsync("DBIRTH/pu1/a1", """
            { "timestamp": 1748935800500, "seq": 1, "metrics": [
              { "name": "gas/pressure", "type": "Double", "value": 101.5, "properties": { "Quality": { "type": "Int32", "value": 0 } } },
              { "name": "gas/pressure", "type": "Double", "value": 101.5, "properties": { "Quality": { "type": "Int32", "value": 192 } } },
              { "name": "gas/pressure", "type": "String", "value": "101.5" },
              { "name": "gas/pressure", "type": "Double", "value": 9999 },
              { "name": "gas/pressure", "type": "Boolean", "value": true },
              { "type": "Double", "value": 1 } ] }
            """);
        Assert.Single(lines);
        Assert.Equal(
            [
                "record 1 (gas/pressure): its quality is 0, not 192 (good)",
                "record 3 (gas/pressure): its value is no number (data type 12)",
                "record 4 (gas/pressure): 9999 bar lies outside the range of the sensor with its margin, -40 to 440 bar; check unit, sensor and wiring",
                "record 5 (gas/pressure): its value is no number (data type 11)",
                "record 6: the metric has neither name nor alias",
                "gas/temperature: the birth certificate has no metric of this name; correct the name in the register",
            ],
            outcome.Rejected.Select(part => part.ToString()));
        Assert.Contains("no Sparkplug B payload", Take("DDATA/pu1/a1", [0x0A, 0xFF]).Outcome.Reason, StringComparison.Ordinal);
        Assert.Contains("seq", (await TakeAsync("DDATA/pu1/a1", """{ "timestamp": 1, "seq": 256, "metrics": [] }""")).Outcome.Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_node_is_asked_over_the_broker_and_answers(bool embedded)
    {
        CancellationToken ended = TestContext.Current.CancellationToken;
        MemorySink sink = new();
        await using MosquittoBroker? outside = embedded ? null : await MosquittoBroker.StartAsync();
        int port = outside?.Port ?? FreePort.Find();
        await using EmbeddedBroker? inside = embedded
            ? new EmbeddedBroker(new() { Port = port }, _decoder, sink, TimeProvider.System, Microsoft.Extensions.Logging.Abstractions.NullLogger<EmbeddedBroker>.Instance)
            : null;
        await (inside?.StartAsync() ?? Task.CompletedTask);
        await using RunningSubscriber? subscriber = embedded
            ? null
            : await RunningSubscriber.ReceivingAsync(RunningSubscriber.OptionsFor(outside!) with { TopicFilters = [.. _decoder.Filters] }, sink, _decoder);

        using IMqttClient node = new MqttClientFactory().CreateMqttClient();
        TaskCompletionSource<byte[]> asked = new(TaskCreationOptions.RunContinuationsAsynchronously);
        node.ApplicationMessageReceivedAsync += args =>
        {
            asked.TrySetResult(System.Buffers.BuffersExtensions.ToArray(args.ApplicationMessage.Payload));
            return Task.CompletedTask;
        };
        await node.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).Build(), ended);
        await node.SubscribeAsync("spBv1.0/works/NCMD/pu1", cancellationToken: ended);
        await PublishAsync("DDATA/pu1/a1", await _library.EncodeAsync(Pressure(2, 9)));

        using JsonDocument command = JsonDocument.Parse(await _library.DecodeAsync(await asked.Task.WaitAsync(MosquittoBroker.Patience, ended)));
        JsonElement metric = Assert.Single(command.RootElement.GetProperty("metrics").EnumerateArray().ToArray());
        Assert.Equal(("Node Control/Rebirth", "Boolean", true), (metric.GetProperty("name").GetString(), metric.GetProperty("type").GetString(), metric.GetProperty("value").GetBoolean()));

        await PublishAsync("NBIRTH/pu1", await _library.EncodeAsync(NodeBirth));
        await PublishAsync("DBIRTH/pu1/a1", await _library.EncodeAsync(DeviceBirth));
        await sink.Until(held => held.Readings.Count == 4);
        Assert.Empty(sink.Quarantined);

        Task PublishAsync(string topic, byte[] payload) =>
            node.PublishBinaryAsync($"spBv1.0/works/{topic}", payload, MqttQualityOfServiceLevel.AtMostOnce, cancellationToken: ended);
    }

    private static string Pressure(int alias, int sequence) => string.Create(CultureInfo.InvariantCulture, $$"""
        { "timestamp": 1748935860000, "seq": {{sequence}}, "metrics": [ { "alias": {{alias}}, "type": "Double", "value": 101.25 } ] }
        """);

    private async Task<(string[] Lines, DecodedPayload Outcome)> TakeAsync(string topic, string payload) =>
        Take(topic, await _library.EncodeAsync(payload));

    private (string[] Lines, DecodedPayload Outcome) Take(string topic, byte[] payload)
    {
        List<VesselReading> readings = [];
        DecodedPayload outcome = _decoder.Decode($"spBv1.0/works/{topic}", payload, _now, true, readings);
        return ([.. readings.Select(reading => string.Create(
            CultureInfo.InvariantCulture,
            $"{reading.VesselId} {reading.Reading.Signal} {reading.Reading.Instant.UtcDateTime:HH:mm:ss.FFF} {reading.Reading.Value:0.######}"))], outcome);
    }
}
