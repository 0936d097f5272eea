using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Rounds;

/// <summary>What a reading by hand finds, fluid side isolated and released.</summary>
/// <param name="Precharge">Precharge, gauge at the reference temperature.</param>
/// <param name="ExpandedPa">Expanded uncertainty of it, Pa, k = 2.</param>
/// <param name="Meaning">What it means.</param>
public sealed record CheckFinding(GaugePressure Precharge, double ExpandedPa, CheckMeaning Meaning)
{
    /// <summary>The finding of a reading.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="pressure">Gauge pressure read.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <param name="instruments">What it was read with.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside the nitrogen range.</exception>
    public static CheckFinding Of(VesselSpecification vessel, GaugePressure pressure, GasTemperature temperature, HandInstruments instruments)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(instruments);
        UncertaintyBudget budget = instruments.Budget(vessel, pressure, temperature);
        GaugePressure precharge = AbsolutePressure.FromPascals(budget.Estimate).ToGauge(vessel.Ambient);
        double expanded = CoverageFactor.Expanded * budget.CombinedStandardUncertainty;
        return new CheckFinding(precharge, expanded, MeaningOf(vessel, precharge.Pascals, expanded));
    }

    /// <summary>What a precharge with its expanded uncertainty means.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="gaugePa">Precharge, Pa gauge at the reference temperature.</param>
    /// <param name="expandedPa">Its expanded uncertainty, Pa.</param>
    public static CheckMeaning MeaningOf(VesselSpecification vessel, double gaugePa, double expandedPa) =>
        gaugePa + expandedPa < vessel.LowerLimit.Pascals ? CheckMeaning.BelowLowerLimit
        : gaugePa - expandedPa > vessel.UpperLimit.Pascals ? CheckMeaning.AboveUpperLimit
        : gaugePa - expandedPa < vessel.LowerLimit.Pascals ? CheckMeaning.AtLowerLimit
        : gaugePa + expandedPa > vessel.UpperLimit.Pascals ? CheckMeaning.AtUpperLimit
        : CheckMeaning.WithinLimits;
}
