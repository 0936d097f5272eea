namespace DriftWatch.Plant.Alarms;

/// <summary>What can happen to an alarm. The first five come from the data, the sixth from the clock, the others from people.</summary>
public enum AlarmEvent
{
    /// <summary>The condition stands, delays over.</summary>
    ConditionOn,

    /// <summary>The condition is gone, delays over.</summary>
    ConditionOff,

    /// <summary>The priority of a standing alarm rises: it is announced anew.</summary>
    PriorityRaised,

    /// <summary>A graver alarm of the vessel suppresses it by design.</summary>
    SuppressedByRule,

    /// <summary>The graver alarm is gone.</summary>
    ReleasedByRule,

    /// <summary>The time of a shelf is over.</summary>
    ShelfExpired,

    /// <summary>Someone has seen it.</summary>
    Acknowledge,

    /// <summary>Someone releases a latched alarm whose condition is gone.</summary>
    Reset,

    /// <summary>Someone puts it aside for a time, with a reason.</summary>
    Shelve,

    /// <summary>Someone takes it back from the shelf.</summary>
    Unshelve,

    /// <summary>Someone says that by design it has no meaning in the plant's state (a stopped section).</summary>
    Suppress,

    /// <summary>Someone ends that state.</summary>
    Unsuppress,

    /// <summary>Someone takes it out of service for maintenance.</summary>
    RemoveFromService,

    /// <summary>Someone returns it to service.</summary>
    ReturnToService,
}
