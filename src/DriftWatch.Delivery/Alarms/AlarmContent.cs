using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Delivery.Alarms;

/// <summary>The alarm inside an <see cref="AlarmDocument"/>.</summary>
public sealed record AlarmContent
{
    /// <summary>Counts the notices of the alarm, from 1; the greatest stands.</summary>
    public required int Revision { get; init; }

    /// <summary>The vessel.</summary>
    public required string VesselId { get; init; }

    /// <summary>Where it is; empty where the register no longer says.</summary>
    public required string Place { get; init; }

    /// <summary>What the alarm is about.</summary>
    public required AlarmKind Kind { get; init; }

    /// <summary>Its state (IEC 62682).</summary>
    public required AlarmState State { get; init; }

    /// <summary>Whether its condition stands, whatever the state.</summary>
    public required bool ConditionStands { get; init; }

    /// <summary>How soon it is to be seen to.</summary>
    public required Priority Priority { get; init; }

    /// <summary>When its condition came on last, UTC; null where it never did.</summary>
    public required DateTimeOffset? Raised { get; init; }

    /// <summary>The evidence in one sentence.</summary>
    public required string Evidence { get; init; }

    /// <summary>Who or what brought this state: a person, or data, design or clock.</summary>
    public required string By { get; init; }

    /// <summary>Why; empty where a person gave no reason.</summary>
    public required string Because { get; init; }

    /// <summary>When the shelf ends, UTC; null when it is not shelved.</summary>
    public required DateTimeOffset? ShelvedUntil { get; init; }

    /// <summary>The cautions; never empty.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}
