using System.Globalization;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;

namespace DriftWatch.Durability.Tests;

/// <summary>
/// The senders of a small plant, one a vessel: numbered packs of four readings at QoS 1, one at a time, each sent again
/// until the broker acknowledges it, over whatever happens to the connection.
/// </summary>
internal sealed class Gateways : IAsyncDisposable
{
    public const int Vessels = 8;

    public const int ReadingsPerPack = 4;

    private const string Acknowledgement = "acknowledged";

    private const string Interruption = "cut off";

    private static readonly DateTimeOffset Begin = new(2024, 2, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly int _port;
    private readonly bool _subscribed;
    private readonly SemaphoreSlim[] _allowed = [.. Enumerable.Range(0, Vessels).Select(_ => new SemaphoreSlim(0))];
    private readonly int[] _acknowledged = new int[Vessels];
    private readonly HeardLines _news = new();
    private readonly CancellationTokenSource _end = new();
    private readonly Task[] _lanes;
    private int _allowedPacks;
    private int _sentAgain;

    /// <param name="port">Port of the broker on 127.0.0.1.</param>
    /// <param name="subscribed">Whether the broker must know of a subscriber; the embedded one is its own.</param>
    public Gateways(int port, bool subscribed)
    {
        _port = port;
        _subscribed = subscribed;
        _lanes = [.. Enumerable.Range(0, Vessels).Select(vessel => Task.Run(() => SendAsync(vessel)))];
    }

    /// <summary>Packs that were sent more than once.</summary>
    public int SentAgain => _sentAgain;

    /// <summary>Readings whose packs the broker has acknowledged.</summary>
    public long AcknowledgedReadings => _acknowledged.Sum(packs => (long)Volatile.Read(ref packs)) * ReadingsPerPack;

    /// <summary>A register of the vessels, as a plant would write it.</summary>
    public static string Register => $$"""
        { "plant": "Example Works", "vessels": [ {{string.Join(",", Enumerable.Range(0, Vessels).Select(vessel => $$"""
        {
          "id": "{{Id(vessel)}}", "description": "Accumulator", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": {
            "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "{{Topic(vessel)}}", "name": "p", "unit": "bar" },
            "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "{{Topic(vessel)}}", "name": "t", "unit": "Cel" }
          }
        }
        """))}} ] }
        """;

    public static string Id(int vessel) => string.Create(CultureInfo.InvariantCulture, $"V-{vessel}");

    /// <summary>Allows each sender so many packs more.</summary>
    public void Allow(int packsEach)
    {
        Interlocked.Add(ref _allowedPacks, packsEach);
        foreach (SemaphoreSlim allowed in _allowed)
        {
            allowed.Release(packsEach);
        }
    }

    /// <summary>Ends when this many further packs have been acknowledged, counted from the call.</summary>
    public Task AcknowledgedAsync(int packs) => _news.FromNowAsync(Acknowledgement, packs);

    /// <summary>Ends when a sender has found nobody to take a pack, or has lost the connection before it was acknowledged, after the call.</summary>
    public Task CutOffAsync() => _news.FromNowAsync(Interruption);

    /// <summary>Ends when all that was allowed has been acknowledged.</summary>
    public async Task AllAcknowledgedAsync()
    {
        foreach (SemaphoreSlim allowed in _allowed)
        {
            allowed.Release(); // The end mark: one more permit than packs.
        }

        await Task.WhenAll(_lanes).WaitAsync(MosquittoBroker.Patience);
    }

    /// <summary>What was acknowledged of a vessel, in order: the expectation of what is held.</summary>
    public IEnumerable<Reading> Acknowledged(int vessel) => Enumerable.Range(0, _acknowledged[vessel]).SelectMany(Readings);

    public async ValueTask DisposeAsync()
    {
        await _end.CancelAsync();
        try
        {
            await Task.WhenAll(_lanes);
        }
        catch (OperationCanceledException)
        {
            // Cut off by the end of the test.
        }

        _end.Dispose();
        foreach (SemaphoreSlim allowed in _allowed)
        {
            allowed.Dispose();
        }
    }

    private static string Topic(int vessel) => string.Create(CultureInfo.InvariantCulture, $"example/v{vessel}");

    private static IEnumerable<Reading> Readings(int pack)
    {
        foreach (int second in (int[])[20 * pack, (20 * pack) + 10])
        {
            yield return new Reading(Signal.GasTemperature, Begin.AddSeconds(second), 290 + (second % 640 / 64.0));
            yield return new Reading(Signal.GasPressure, Begin.AddSeconds(second), 1e7 + second);
        }
    }

    private static string Payload(int pack) => "[" + string.Join(",", Readings(pack).Select(reading => string.Create(
        CultureInfo.InvariantCulture,
        $$"""{"n":"{{(reading.Signal == Signal.GasPressure ? "p" : "t")}}","u":"{{(reading.Signal == Signal.GasPressure ? "Pa" : "K")}}","t":{{reading.Instant.ToUnixTimeSeconds()}},"v":{{reading.Value:R}}}"""))) + "]";

    private async Task SendAsync(int vessel)
    {
        CancellationToken end = _end.Token;
        IMqttClient client = new MqttClientFactory().CreateMqttClient();
        try
        {
            for (int pack = 0; ; pack++)
            {
                await _allowed[vessel].WaitAsync(end);
                if (pack == Volatile.Read(ref _allowedPacks))
                {
                    return;
                }

                MqttApplicationMessage message = new MqttApplicationMessageBuilder()
                    .WithTopic(Topic(vessel)).WithPayload(Payload(pack)).WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).Build();
                while (!await AcknowledgedAsync(client, vessel, message, end))
                {
                    Interlocked.Increment(ref _sentAgain);
                    _news.Add(Interruption);
                    client.Dispose();
                    client = new MqttClientFactory().CreateMqttClient();
                    await Task.Delay(20, end);
                }

                Volatile.Write(ref _acknowledged[vessel], pack + 1);
                _news.Add(Acknowledgement);
            }
        }
        finally
        {
            client.Dispose();
        }
    }

    private async Task<bool> AcknowledgedAsync(IMqttClient client, int vessel, MqttApplicationMessage message, CancellationToken end)
    {
        MqttClientPublishResult result;
        try
        {
            if (!client.IsConnected)
            {
                await client.ConnectAsync(
                    new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", _port).WithClientId("gateway-" + Id(vessel)).WithTimeout(TimeSpan.FromSeconds(30)).Build(),
                    end);
            }

            result = await client.PublishAsync(message, end);
        }
        catch (Exception exception) when (exception is MqttCommunicationException or MqttCommunicationTimedOutException or MqttClientDisconnectedException or InvalidOperationException or OperationCanceledException && !end.IsCancellationRequested)
        {
            // The connection is gone, or about to go (the client then refuses to connect anew). Cut off while it waits for an
            // acknowledgement the client calls the time out, which must not hide why the test ended.
            return false;
        }

        Assert.True(_subscribed ? result.ReasonCode == MqttClientPublishReasonCode.Success : result.IsSuccess, $"{result.ReasonCode} {result.ReasonString}");
        return true;
    }
}
