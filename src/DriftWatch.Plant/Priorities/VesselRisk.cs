using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;
using DriftWatch.Plant.Jobs;
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
        double? lost = LostShare(vessel, now);
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
        now.PrechargePa is { } level && level - vessel.Ambient.Pascals < SeparatorSuspectShare * vessel.NominalPrecharge.Pascals;

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

    private static double? LostShare(VesselSpecification vessel, Assessment now)
    {
        if (vessel.LowestWorkingPressure is not { } p1 || vessel.HighestWorkingPressure is not { } p2
            || now.PrechargePa is not { } level || !(level > 0))
        {
            return null;
        }

        try
        {
            PrechargeConsequence consequence = PrechargeConsequence.Of(
                new PrechargedVessel(vessel.GasVolume, vessel.NominalPrecharge.ToAbsolute(vessel.Ambient), vessel.ReferenceTemperature),
                AbsolutePressure.FromPascals(level),
                TypeOf(vessel.Type),
                p1.ToAbsolute(vessel.Ambient),
                p2.ToAbsolute(vessel.Ambient),
                vessel.ReferenceTemperature,
                Stroke.Discharge,
                StrokeHeat.Isothermal);
            return Math.Clamp(consequence.LostFraction, 0, 1);
        }
        catch (OutsideNitrogenRangeException)
        {
            // A working pressure beyond the equation of state: the loss is not known, the job is written all the same.
            return null;
        }
    }

    // The ratio limit of the type is not asked for here; of the two diaphragm types either gives the same volumes.
    private static AccumulatorType TypeOf(VesselType type) => type switch
    {
        VesselType.Bladder => AccumulatorType.Bladder,
        VesselType.Piston => AccumulatorType.Piston,
        _ => AccumulatorType.WeldedDiaphragm,
    };
}
