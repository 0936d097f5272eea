namespace DriftWatch.Plant.Alarms;

/// <summary>What a message on an alarm tells.</summary>
public enum AlarmNews
{
    /// <summary>The condition stands and nobody has seen it; also when its priority has risen.</summary>
    Raised,

    /// <summary>Somebody has seen it.</summary>
    Acknowledged,

    /// <summary>The condition is gone; somebody has yet to see it, or to reset it.</summary>
    Returned,

    /// <summary>Somebody has put it aside for a time.</summary>
    Shelved,

    /// <summary>A graver alarm says it already, or the plant's state leaves it without meaning.</summary>
    Suppressed,

    /// <summary>Somebody has taken it out of service.</summary>
    TakenOutOfService,

    /// <summary>The condition is gone and seen.</summary>
    Normal,
}
