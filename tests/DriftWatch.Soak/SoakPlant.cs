using System.Globalization;
using System.Text;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Soak;

/// <summary>
/// A made-up plant of any size whose machines work 25 minutes and rest 15, each at its own phase, so that windows open
/// all the time. Readings come six seconds apart, ten times as often as once a minute.
/// </summary>
internal static class SoakPlant
{
    private const double PeriodMinutes = 40;
    private const double WorkMinutes = 25;
    private static readonly AbsolutePressure Ambient = AbsolutePressure.FromPascals(101_325);

    public static string Id(int vessel) => string.Create(CultureInfo.InvariantCulture, $"V-{vessel:D4}");

    public static string Topic(int vessel) => string.Create(CultureInfo.InvariantCulture, $"works/v{vessel}");

    /// <summary>Gas pressure and temperature of a vessel at an instant, as a SenML pack (RFC 8428).</summary>
    public static string Pack(int vessel, DateTimeOffset at)
    {
        double minute = (at.ToUnixTimeMilliseconds() / 60_000.0) + (vessel * 0.37);
        double phase = minute % PeriodMinutes;
        double hall = 22 + (3 * Math.Sin(2 * Math.PI * minute / 1440));
        bool works = phase < WorkMinutes;

        // Worked gas is warm; at rest it cools to the hall's temperature within minutes.
        double degrees = works ? hall + 8 : hall + (8 * Math.Exp(-(phase - WorkMinutes) / 2));
        double bar = works
            ? 150 + (25 * Math.Sin(2 * Math.PI * phase / 0.7))
            : ChargingTarget.GaugePressureAt(
                GasTemperature.FromDegreesCelsius(degrees), GaugePressure.FromBar(100).ToAbsolute(Ambient), GasTemperature.FromDegreesCelsius(20), Ambient).Bar;
        return string.Create(
            CultureInfo.InvariantCulture,
            $$"""[{"bt":{{at.ToUnixTimeMilliseconds() / 1000.0:F3}},"n":"p","u":"bar","v":{{bar:F2}}},{"n":"t","u":"Cel","v":{{degrees:F2}}}]""");
    }

    public static string Register(int vessels)
    {
        StringBuilder entries = new();
        for (int vessel = 0; vessel < vessels; vessel++)
        {
            entries.Append(vessel == 0 ? "" : ",").Append(CultureInfo.InvariantCulture, $$"""
                {
                  "id": "{{Id(vessel)}}", "description": "Accumulator", "place": "Hall {{vessel / 50}}", "type": "bladder", "gasVolumeLitres": 20,
                  "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
                  "allowedLoss": { "barPerMonth": 1.0 },
                  "sensors": {
                    "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "{{Topic(vessel)}}", "name": "p", "unit": "bar" },
                    "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "{{Topic(vessel)}}", "name": "t", "unit": "Cel" }
                  }
                }
                """);
        }

        return $$"""{ "plant": "Example Works", "vessels": [ {{entries}} ] }""";
    }
}
