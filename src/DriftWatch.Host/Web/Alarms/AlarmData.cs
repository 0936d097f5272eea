using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>An alarm as programs read it.</summary>
internal sealed record AlarmData
{
    public required string VesselId { get; init; }

    public required AlarmKind Kind { get; init; }

    /// <summary>State by IEC 62682.</summary>
    public required AlarmState State { get; init; }

    /// <summary>Whether the condition stands; known in every state.</summary>
    public required bool ConditionOn { get; init; }

    public required Priority Priority { get; init; }

    /// <summary>When the condition came on last, UTC; null for never.</summary>
    public required DateTimeOffset? Raised { get; init; }

    public required string Why { get; init; }

    public required string SetAsideBy { get; init; }

    public required string SetAsideWhy { get; init; }

    public required DateTimeOffset? ShelvedUntil { get; init; }

    /// <summary>What has a place now.</summary>
    public required IReadOnlyList<AlarmEvent> Possible { get; init; }

    public static AlarmData Of(Alarm alarm) => new()
    {
        VesselId = alarm.VesselId,
        Kind = alarm.Kind,
        State = alarm.Status.State,
        ConditionOn = alarm.Status.ConditionOn,
        Priority = alarm.Priority,
        Raised = alarm.Raised > DateTimeOffset.MinValue ? alarm.Raised : null,
        Why = alarm.Why,
        SetAsideBy = alarm.SetAsideBy,
        SetAsideWhy = alarm.SetAsideWhy,
        ShelvedUntil = alarm.ShelvedUntil,
        Possible = AlarmActs.Possible(alarm),
    };
}
