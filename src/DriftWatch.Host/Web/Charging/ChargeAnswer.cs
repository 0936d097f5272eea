using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Charging;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Charging;

/// <summary>The plan for a query, and whether the pressure now was read or follows from what was seen before.</summary>
/// <param name="Plan">The plan.</param>
/// <param name="FromTrend">When the window was whose precharge stands for the gauge reading, UTC; null where it was read, or nothing is known.</param>
/// <param name="FromCheck">When the check by hand was whose precharge stands for it, UTC; null else.</param>
public sealed record ChargeAnswer(ChargePlan Plan, DateTimeOffset? FromTrend, DateTimeOffset? FromCheck)
{
    /// <summary>The answer to a query.</summary>
    internal static ChargeAnswer Of(Vessel vessel, Assessment? assessment, ChargeQuery query)
    {
        GaugePressure? now = query.Now;
        DateTimeOffset? seen = null;
        if (now is null && assessment is { PrechargePa: { } level })
        {
            now = ChargingTarget.GaugePressureAt(
                query.Gas, AbsolutePressure.FromPascals(level), vessel.Specification.ReferenceTemperature, vessel.Specification.Ambient);
            seen = assessment.LevelSeen();
        }

        SeparatorStanding separator = query.SeparatorFoundSound ? SeparatorStanding.FoundSound
            : assessment is not null && VesselRisk.NearlyGone(vessel.Specification, assessment) ? SeparatorStanding.Suspect
            : SeparatorStanding.ByPressure;
        bool byHand = assessment?.FoundByHand is not null;
        return new ChargeAnswer(
            ChargePlan.For(vessel.Specification, query.Gas, now, query.Bottles, query.FillingTime, separator), byHand ? null : seen, byHand ? seen : null);
    }
}
