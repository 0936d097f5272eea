using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests;

/// <summary>A vessel on the test bench, and what may be said of it on a day.</summary>
internal static class Bench
{
    public static readonly DateTimeOffset Start = new(2026, 2, 2, 6, 0, 0, TimeSpan.Zero);

    public static readonly AbsolutePressure Ambient = AbsolutePressure.FromBar(1);

    /// <summary>100 bar nominal, limits 90 and 108 bar, 50 litres, p1 110 and p2 200 bar, all gauge at 20 degrees C.</summary>
    public static Vessel Vessel(PlantCalendar? calendar = null, double[]? chargeDays = null, PrechargeCheck[]? checks = null, VesselType type = VesselType.Bladder) => new(
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
            LowestWorkingPressure = GaugePressure.FromBar(110),
            HighestWorkingPressure = GaugePressure.FromBar(200),
            Ambient = Ambient,
            GasPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 250e5, 0.2e5),
            GasTemperatureSensor = new TemperatureSensor(233.15, 398.15, 0.5),
        },
        [],
        [.. (chargeDays ?? []).Select(day => Check(day))])
    {
        Calendar = calendar ?? PlantCalendar.Default,
        RecordedChecks = checks ?? [],
    };

    public static PrechargeCheck Check(double day, double? barGauge = null, double celsius = 20) => new(
        Start.AddDays(day),
        barGauge is { } bar ? GaugePressure.FromBar(bar) : null,
        barGauge is null ? null : GasTemperature.FromDegreesCelsius(celsius));

    /// <summary>An assessment that rests on a window of the same day; of segment 0 unless said otherwise.</summary>
    public static Assessment Day(
        double day, Verdict verdict, double barGauge = 95, int segment = 0, SegmentCause cause = SegmentCause.FirstWindow,
        double? earliestDay = null, double? windowDay = null, string fault = "") => new()
        {
            AsOf = Start.AddDays(day),
            Verdict = verdict,
            Reason = FormattableString.Invariant($"Reason of day {day}."),
            Segment = segment < 0 ? null : new TrendSegment(segment, Start.AddDays(day), cause),
            PointCount = 5,
            LastWindow = Start.AddDays(windowDay ?? day),
            PrechargePa = segment < 0 ? null : (barGauge + 1) * 1e5,
            PrechargeUncertaintyPa = segment < 0 ? null : 0.3e5,
            Forecast = earliestDay is { } early ? new CrossingForecast(Start.AddDays(early + 20), Start.AddDays(early), null) : null,
            DataFault = fault,
        };
}
