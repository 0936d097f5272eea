using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Alarms;

/// <summary>Whether the condition of an alarm stands, after delays and deadband.</summary>
/// <param name="Kind">The alarm.</param>
/// <param name="On">Whether it stands.</param>
/// <param name="PendingSince">From when the evidence says otherwise, UTC, while a delay runs; null for none.</param>
/// <param name="Priority">Priority by the newest evidence for it; while it stands it rises and never falls.</param>
/// <param name="Why">The evidence in one sentence.</param>
/// <param name="Suppressed">Whether a graver alarm of the vessel suppresses it by design.</param>
/// <param name="Segment">Number of the trend segment that the newest evidence for it came from; null for none.</param>
public sealed record AlarmCondition(
    AlarmKind Kind, bool On, DateTimeOffset? PendingSince, Priority Priority, string Why, bool Suppressed, int? Segment = null)
{
    /// <summary>When the running delay ends, UTC; null when none runs.</summary>
    internal DateTimeOffset? Deadline(AlarmHandling handling) => PendingSince + (On ? handling.OffDelay.Of(Kind) : handling.OnDelay.Of(Kind));
}
