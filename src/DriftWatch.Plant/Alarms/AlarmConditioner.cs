using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Alarms;

/// <summary>
/// From assessments to alarm conditions: with deadband and delays, so that a vessel on the edge does not chatter, and
/// with the suppression by design of what a graver alarm of the vessel says already. Silence and 'not known yet' leave a
/// standing condition as it is: no news is not good news.
/// </summary>
public static class AlarmConditioner
{
    private static readonly AlarmKind[] Kinds = Enum.GetValues<AlarmKind>();

    /// <summary>Takes an assessment in.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="conditions">The conditions before.</param>
    /// <param name="handling">Delays and deadbands.</param>
    /// <param name="now">The newest assessment; delays that have ended before it are ended first by <see cref="Elapse"/>.</param>
    /// <returns>The conditions after, and what changed, in order.</returns>
    public static (AlarmConditions Conditions, IReadOnlyList<AlarmChange> Changes) Advance(
        Vessel vessel, AlarmConditions conditions, AlarmHandling handling, Assessment now) =>
        Step(vessel.Id, conditions, handling, now.AsOf, condition => Evidence(vessel.Specification, condition, handling.DeadbandPercent, now));

    /// <summary>Lets time pass up to a moment: ends the delays that are over then.</summary>
    public static (AlarmConditions Conditions, IReadOnlyList<AlarmChange> Changes) Elapse(
        string vesselId, AlarmConditions conditions, AlarmHandling handling, DateTimeOffset at) =>
        Step(vesselId, conditions, handling, at, condition => condition);

    private static (AlarmConditions Conditions, IReadOnlyList<AlarmChange> Changes) Step(
        string vesselId, AlarmConditions conditions, AlarmHandling handling, DateTimeOffset at, Func<AlarmCondition, AlarmCondition> evidence)
    {
        List<AlarmChange> changes = [];
        List<AlarmCondition> after = [];
        foreach (AlarmKind kind in Kinds)
        {
            AlarmCondition before = conditions.Listed.FirstOrDefault(condition => condition.Kind == kind)
                ?? new AlarmCondition(kind, false, null, Priority.Low, "", false);
            AlarmCondition condition = evidence(before);
            if (condition.Deadline(handling) <= at)
            {
                condition = condition with { On = !condition.On, PendingSince = null };
            }

            // The suppressing kinds are graver and come first in the order: they are settled by now. What is on its way out by its
            // own evidence is not announced anew because the graver one has gone a little sooner.
            bool suppressed = AlarmDefinition.Of(kind).SuppressedBy.Any(graver => after.Exists(other => other.Kind == graver && other.On))
                || (before.Suppressed && condition is { On: true, PendingSince: not null });
            condition = condition with { Suppressed = suppressed };
            if (suppressed && !before.Suppressed)
            {
                Change(AlarmEvent.SuppressedByRule, "A graver alarm of the vessel says it already.");
            }

            if (condition.On != before.On)
            {
                Change(condition.On ? AlarmEvent.ConditionOn : AlarmEvent.ConditionOff, condition.On ? condition.Why : "The condition is gone.");
            }
            else if (condition.On && condition.Priority > before.Priority)
            {
                Change(AlarmEvent.PriorityRaised, condition.Why);
            }

            if (!suppressed && before.Suppressed)
            {
                Change(AlarmEvent.ReleasedByRule, "The graver alarm of the vessel is gone.");
            }

            if (condition.On || condition.PendingSince is not null || condition.Suppressed)
            {
                after.Add(condition);
            }

            void Change(AlarmEvent what, string why) => changes.Add(new AlarmChange(vesselId, kind, at, what, condition.Priority, why));
        }

        return (new AlarmConditions(after), changes);
    }

    private static AlarmCondition Evidence(VesselSpecification vessel, AlarmCondition condition, AlarmDeadbands deadbands, Assessment now)
    {
        bool? says = Says(vessel, condition, deadbands, now);
        if (says is null)
        {
            return condition;
        }

        if (says.Value)
        {
            Priority priority = PriorityOf(vessel, condition.Kind, now);
            condition = condition with
            {
                Priority = condition.On && condition.Priority > priority ? condition.Priority : priority,
                Why = condition.Kind == AlarmKind.DataFault ? now.DataFault : now.Reason,
                Segment = now.Segment?.Number,
            };
        }

        return condition with { PendingSince = says.Value == condition.On ? null : condition.PendingSince ?? now.AsOf };
    }

    /// <summary>What an assessment says of a condition; null for nothing.</summary>
    private static bool? Says(VesselSpecification vessel, AlarmCondition condition, AlarmDeadbands deadbands, Assessment now)
    {
        // In silence the level and the loss are those of the last window: they end nothing that stands.
        bool silent = now.Verdict == Verdict.NoWindowTooLong;
        double? gaugePa = now.Segment is null ? null : now.PrechargePa - vessel.Ambient.Pascals;

        // A vessel charged to its nominal precharge is back, however wide the deadband.
        double nominalPa = vessel.NominalPrecharge.Pascals;
        double backAbovePa = Math.Min(vessel.LowerLimit.Pascals + (deadbands.BelowLowerLimit * nominalPa / 100), nominalPa);
        double backBelowPa = Math.Max(vessel.UpperLimit.Pascals - (deadbands.AboveUpperLimit * nominalPa / 100), nominalPa);
        return condition.Kind switch
        {
            AlarmKind.PrechargeNearlyGone =>
                gaugePa is null ? null
                : VesselRisk.NearlyGone(vessel, now) ? true
                : !silent && gaugePa >= vessel.LowerLimit.Pascals ? false
                : null,
            AlarmKind.BelowLowerLimit =>
                now.Verdict == Verdict.BelowLowerLimit ? true
                : !silent && gaugePa >= backAbovePa ? false
                : null,
            AlarmKind.AboveUpperLimit =>
                now.Verdict == Verdict.AboveUpperLimit ? true
                : !silent && gaugePa <= backBelowPa ? false
                : null,
            AlarmKind.FallingFasterThanAllowed =>
                now.Verdict == Verdict.FallingFasterThanAllowed ? true
                : now.Verdict == Verdict.WithinLimits || ChargedSince(condition, now) ? false
                : null,
            AlarmKind.NoWindowTooLong =>
                silent ? true
                : now.AsOf - now.LastWindow <= vessel.LongestSilence ? false
                : null,

            // A fault stands until readings show that it is gone: in silence it is not forgotten.
            _ => now.DataFault.Length > 0,
        };
    }

    /// <summary>Whether a charge began a segment after the one that the condition rests on: it ends the leaks before it, none since.</summary>
    private static bool ChargedSince(AlarmCondition condition, Assessment now) =>
        now.Segment is { Cause: SegmentCause.RecordedCharge or SegmentCause.UnrecordedCharge } segment && segment.Number > condition.Segment;

    private static Priority PriorityOf(VesselSpecification vessel, AlarmKind kind, Assessment now) => kind switch
    {
        AlarmKind.PrechargeNearlyGone or AlarmKind.BelowLowerLimit => VesselRisk.Of(vessel, JobCause.BelowLowerLimit, now).Priority,
        AlarmKind.FallingFasterThanAllowed => VesselRisk.Of(vessel, JobCause.FallingFasterThanAllowed, now).Priority,
        AlarmKind.AboveUpperLimit => VesselRisk.Of(vessel, JobCause.AboveUpperLimit, now).Priority,
        _ => VesselRisk.Of(vessel, JobCause.NoWindowTooLong, now).Priority,
    };
}
