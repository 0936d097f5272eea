using System.Globalization;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.IngestBenchmark;

/// <summary>A made-up plant of any size: gas pressure and temperature of each vessel once a minute.</summary>
internal static class BenchmarkPlant
{
    private static readonly DateTimeOffset Begin = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);

    public static string Id(int vessel) => string.Create(CultureInfo.InvariantCulture, $"V-{vessel:D6}");

    public static string Topic(int vessel) => string.Create(CultureInfo.InvariantCulture, $"works/v{vessel}");

    public static DateTimeOffset Minute(int minute) => Begin.AddMinutes(minute);

    /// <summary>Two readings, in two decimals of a bar and one of a degree.</summary>
    public static IEnumerable<VesselReading> Readings(int vessel, int minute)
    {
        double degrees = 200 + ((minute / 20) % 100);
        double bar = 10_000 + (3 * (degrees - 200)) + ((vessel + (minute * 7)) % 5);
        string id = Id(vessel);
        yield return new VesselReading(id, new Reading(Signal.GasTemperature, Minute(minute), (degrees / 10) + 273.15));
        yield return new VesselReading(id, new Reading(Signal.GasPressure, Minute(minute), bar / 100 * 1e5));
    }

    public static VesselRegister Register(int vessels)
    {
        string entries = string.Join(",", Enumerable.Range(0, vessels).Select(vessel => $$"""
            {
              "id": "{{Id(vessel)}}", "description": "Accumulator", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
              "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
              "allowedLoss": { "barPerMonth": 1.0 },
              "sensors": {
                "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "{{Topic(vessel)}}", "name": "p", "unit": "bar" },
                "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "{{Topic(vessel)}}", "name": "t", "unit": "Cel" }
              }
            }
            """));
        RegisterOutcome outcome = RegisterReader.Read($$"""{ "plant": "Example Works", "vessels": [ {{entries}} ] }""");
        return outcome.Register ?? throw new InvalidOperationException(string.Join("; ", outcome.Defects.Take(3)));
    }
}
