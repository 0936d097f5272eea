using DriftWatch.Plant.Register;
using DriftWatch.Storage.Influx;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Storage.Tests.Influx;

/// <summary>A register of one vessel, V-1 (gauge sensor, reference 20 degrees C), and a writer with short waits.</summary>
internal static class InfluxPlant
{
    public static VesselRegister Register { get; } = RegisterReader.Read("""
        { "plant": "Example Works", "vessels": [ {
          "id": "V-1", "description": "Accumulator", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": {
            "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "a", "name": "p", "unit": "bar" },
            "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "a", "name": "t", "unit": "Cel" }
          }
        } ] }
        """).Register!;

    public static InfluxOptions Options(string url, int mostPoints = 5_000) => new()
    {
        Url = url,
        Organisation = "works",
        Bucket = "drift",
        Token = "secret",
        MostPoints = mostPoints,
        Pause = TimeSpan.FromMilliseconds(20),
        ShortestRetry = TimeSpan.FromMilliseconds(20),
        LongestRetry = TimeSpan.FromMilliseconds(100),
    };

    /// <summary>Runs a writer until the spool is empty.</summary>
    public static async Task<InfluxStatus> EmptySpoolAsync(InfluxOptions options, PlantStore store)
    {
        InfluxWriter writer = new(options, store, Register, TimeProvider.System, NullLogger<InfluxWriter>.Instance);
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        stop.CancelAfter(MosquittoBroker.Patience);
        Task run = writer.RunAsync(stop.Token);
        while (store.SpooledPoints() > 0)
        {
            await Task.Delay(10, stop.Token);
        }

        await stop.CancelAsync();
        await run;
        return writer.Status;
    }
}
