using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests.Jobs;

/// <summary>A vessel and assessments of it for small scenarios.</summary>
internal static class Example
{
    public static readonly DateTimeOffset Day0 = new(2026, 2, 2, 6, 0, 0, TimeSpan.Zero);

    public static Vessel Vessel(VesselType type = VesselType.Bladder) => new(
        "T1", "Test bench accumulator", "Bay 1",
        new VesselSpecification
        {
            Type = type,
            GasVolume = GasVolume.FromLitres(50),
            ReferenceTemperature = GasTemperature.FromDegreesCelsius(20),
            NominalPrecharge = GaugePressure.FromBar(100),
            LowerLimit = GaugePressure.FromBar(90),
            UpperLimit = GaugePressure.FromBar(108),
            AllowedLossPaPerSecond = 1e5 / LossRate.SecondsPerMonth,
            Ambient = AbsolutePressure.FromBar(1),
            GasPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 250e5, 0.2e5),
            GasTemperatureSensor = new TemperatureSensor(233.15, 398.15, 0.5),
        },
        [], []);

    /// <summary>An assessment some days after the start.</summary>
    public static Assessment At(
        double day, Verdict verdict, double barGauge = 95, int segment = 0, SegmentCause cause = SegmentCause.FirstWindow, CrossingForecast? forecast = null) => new()
        {
            AsOf = Day0.AddDays(day),
            Verdict = verdict,
            Reason = $"Reason of day {day}.",
            Segment = segment < 0 ? null : new TrendSegment(segment, Day0.AddDays(day), cause),
            PointCount = 5,
            LastWindow = Day0.AddDays(day),
            PrechargePa = segment < 0 ? null : (barGauge + 1) * 1e5,
            PrechargeUncertaintyPa = segment < 0 ? null : 0.3e5,
            Forecast = forecast,
        };
}
