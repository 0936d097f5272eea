using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Verdicts;

/// <summary>A loss of precharge in the units people use; positive for a loss. A month is 365.25/12 days.</summary>
/// <param name="PaPerSecond">Loss of precharge at the reference temperature, Pa/s.</param>
/// <param name="NominalPa">Nominal precharge, Pa absolute.</param>
/// <param name="PascalCubicMetresPerSecond">Gas throughput at the reference temperature, Pa m3/s.</param>
public readonly record struct LossRate(double PaPerSecond, double NominalPa, double PascalCubicMetresPerSecond)
{
    /// <summary>Seconds in a month of 365.25/12 days.</summary>
    public const double SecondsPerMonth = 365.25 / 12 * 86400;

    /// <summary>bar/month.</summary>
    public double BarPerMonth => PaPerSecond * SecondsPerMonth / 1e5;

    /// <summary>Percent of the nominal precharge (absolute) a month.</summary>
    public double PercentPerMonth => 100 * PaPerSecond * SecondsPerMonth / NominalPa;

    /// <summary>The present loss of a trend.</summary>
    public static LossRate Of(VesselSpecification vessel, TrendFit fit) =>
        FromSlope(vessel, fit.SlopeNowPaPerSecond(), fit.IsCurved ? fit.LevelAtPa(fit.LastPoint) : fit.LevelPa);

    /// <summary>The loss that a slope of the precharge means for a vessel.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="slopePaPerSecond">Slope of the precharge, Pa/s; negative for a loss.</param>
    /// <param name="levelPa">Precharge at which it holds, Pa absolute.</param>
    public static LossRate FromSlope(VesselSpecification vessel, double slopePaPerSecond, double levelPa)
    {
        LeakRate leak = LeakRate.FromPressureTrend(
            slopePaPerSecond, AbsolutePressure.FromPascals(levelPa), vessel.ReferenceTemperature, vessel.GasVolume);
        return new LossRate(
            -slopePaPerSecond,
            vessel.NominalPrecharge.ToAbsolute(vessel.Ambient).Pascals,
            leak.PascalCubicMetresPerSecondAt(vessel.ReferenceTemperature));
    }
}
