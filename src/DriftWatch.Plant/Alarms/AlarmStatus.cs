namespace DriftWatch.Plant.Alarms;

/// <summary>State of an alarm, and what it comes back to when it is no longer set aside.</summary>
/// <param name="State">The state.</param>
/// <param name="ConditionOn">Whether the condition stands; known in every state.</param>
/// <param name="Latched">Whether a latching alarm waits for its reset.</param>
/// <param name="SuppressedByRule">Whether a graver alarm suppresses it.</param>
/// <param name="SuppressedByPlant">Whether someone has said that the plant's state suppresses it.</param>
public readonly record struct AlarmStatus(AlarmState State, bool ConditionOn, bool Latched, bool SuppressedByRule, bool SuppressedByPlant)
{
    /// <summary>Normal.</summary>
    public static AlarmStatus Normal => default;

    /// <summary>Whether someone is to look at it: unacknowledged, whether its condition stands or is gone.</summary>
    public bool IsAnnounced => State is AlarmState.Unacknowledged
        or AlarmState.ReturnedToNormalUnacknowledged or AlarmState.LatchedUnacknowledged;

    /// <summary>Whether it is set aside: shelved, suppressed by design or out of service.</summary>
    public bool IsSetAside => State is AlarmState.Shelved or AlarmState.SuppressedByDesign or AlarmState.OutOfService;
}
