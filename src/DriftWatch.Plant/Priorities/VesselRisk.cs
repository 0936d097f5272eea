using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Priorities;

/// <summary>What an assessment means for the plant: consequence, time left, and the priority of the two.</summary>
/// <param name="Consequence">What it costs when nobody acts.</param>
/// <param name="Time">How much time is left.</param>
/// <param name="LostUsableShare">
/// Share of the usable fluid volume between p1 and p2 that is lost against the nominal precharge (slow stroke at the
/// reference temperature, real gas), 0 to 1; null when p1 and p2 or the precharge are not known.
/// </param>
public readonly record struct VesselRisk(Consequence Consequence, TimeToAct Time, double? LostUsableShare)
{
    /// <summary>Below this share of the nominal precharge (gauge) the separator itself is suspect.</summary>
    private const double SeparatorSuspectShare = 0.2;

    /// <summary>From this share of the usable volume lost the vessel no longer does its work.</summary>
    private const double SevereLostShare = 0.25;

    private static readonly TimeSpan HoursEnd = TimeSpan.FromDays(2);
    private static readonly TimeSpan DaysEnd = TimeSpan.FromDays(14);

    /// <summary>The priority.</summary>
    public Priority Priority => PriorityGrid.Of(Consequence, Time);

    /// <summary>The risk of a vessel with a cause for work.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="cause">The cause.</param>
    /// <param name="now">The assessment.</param>
    public static VesselRisk Of(VesselSpecification vessel, JobCause cause, Assessment now)
    {
        double? lost = now.PrechargePa is { } level ? UsableVolumeLoss.At(vessel, level)?.Share : null;
        return cause switch
        {
            JobCause.BelowLowerLimit when NearlyGone(vessel, now) => new VesselRisk(Consequence.Severe, TimeToAct.Hours, lost),
            JobCause.BelowLowerLimit => new VesselRisk(
                lost >= SevereLostShare ? Consequence.Severe : Consequence.Moderate, TimeToAct.Days, lost),
            JobCause.FallingFasterThanAllowed => new VesselRisk(Consequence.Moderate, TimeLeft(now), lost),
            JobCause.AboveUpperLimit => new VesselRisk(
                AboveLowestWorking(vessel, now) ? Consequence.Severe : Consequence.Moderate, TimeToAct.Days, lost),
            _ => new VesselRisk(Consequence.Minor, TimeToAct.Days, null),
        };
    }

    /// <summary>Whether nearly all gas is gone, so that the separator may have failed and fluid may stand in the gas side.</summary>
    public static bool NearlyGone(VesselSpecification vessel, Assessment now) =>
        now.PrechargePa is { } level && NearlyGone(vessel, GaugePressure.FromPascals(level - vessel.Ambient.Pascals));

    /// <summary>The same by a precharge at the reference temperature.</summary>
    public static bool NearlyGone(VesselSpecification vessel, GaugePressure precharge) =>
        precharge.Pascals < SeparatorSuspectShare * vessel.NominalPrecharge.Pascals;

    /// <summary>A sudden loss has no date: it counts as days.</summary>
    private static TimeToAct TimeLeft(Assessment now)
    {
        if (now.Forecast?.Earliest is not { } earliest)
        {
            return TimeToAct.Days;
        }

        TimeSpan left = earliest - now.AsOf;
        return left <= HoursEnd ? TimeToAct.Hours : left <= DaysEnd ? TimeToAct.Days : TimeToAct.Weeks;
    }

    /// <summary>A precharge above p1: the vessel gives no fluid down to p1 and the separator strikes its end.</summary>
    private static bool AboveLowestWorking(VesselSpecification vessel, Assessment now) =>
        vessel.LowestWorkingPressure is { } p1 && now.PrechargePa > p1.ToAbsolute(vessel.Ambient).Pascals;
}
