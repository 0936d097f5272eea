using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Alarms;

/// <summary>An alarm as it is at a moment.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Kind">What it is about.</param>
/// <param name="Status">State.</param>
/// <param name="Priority">Priority.</param>
/// <param name="Raised">When its condition came on last, UTC.</param>
/// <param name="Why">The evidence in one sentence.</param>
/// <param name="SetAsideBy">Who shelved, suppressed or took it out of service; empty for nobody.</param>
/// <param name="SetAsideWhy">Why.</param>
/// <param name="ShelvedUntil">When the shelf ends, UTC; null when it is not shelved.</param>
public sealed record Alarm(
    string VesselId,
    AlarmKind Kind,
    AlarmStatus Status,
    Priority Priority,
    DateTimeOffset Raised,
    string Why,
    string SetAsideBy,
    string SetAsideWhy,
    DateTimeOffset? ShelvedUntil)
{
    /// <summary>An alarm that never came.</summary>
    public static Alarm Quiet(string vesselId, AlarmKind kind) =>
        new(vesselId, kind, AlarmStatus.Normal, Priority.Low, DateTimeOffset.MinValue, "", "", "", null);
}
