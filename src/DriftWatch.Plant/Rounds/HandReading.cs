using DriftWatch.Gas.Uncertainty;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;

namespace DriftWatch.Plant.Rounds;

/// <summary>A reading by hand, brought to the reference temperature.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="PrechargePa">Precharge, Pa absolute.</param>
/// <param name="RandomUncertaintyPa">Standard uncertainty of it that is new with each reading, Pa.</param>
/// <param name="SharedUncertaintyPa">Standard uncertainty of it shared by the readings of its gauge, Pa.</param>
/// <param name="GaugeId">Which gauge; empty where that is not on record.</param>
public readonly record struct HandReading(
    DateTimeOffset At, double PrechargePa, double RandomUncertaintyPa, double SharedUncertaintyPa, string GaugeId)
{
    /// <summary>Combined standard uncertainty, Pa.</summary>
    public double CombinedUncertaintyPa => double.Hypot(RandomUncertaintyPa, SharedUncertaintyPa);

    /// <summary>The readings of the checks that a vessel has on record, in order of time; checks without values have none.</summary>
    public static IReadOnlyList<HandReading> Of(Vessel vessel, HandInstruments instruments)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(instruments);
        List<HandReading> readings = [];
        foreach (PrechargeCheck check in vessel.RecordedChecks)
        {
            if (check.Pressure is { } pressure && check.Temperature is { } temperature)
            {
                // What can be recorded lies inside the nitrogen range.
                UncertaintyBudget budget = instruments.Budget(vessel.Specification, pressure, temperature);
                readings.Add(new HandReading(
                    check.At, budget.Estimate, budget.RandomStandardUncertainty, budget.SharedStandardUncertainty, check.GaugeId));
            }
        }

        return readings;
    }
}
