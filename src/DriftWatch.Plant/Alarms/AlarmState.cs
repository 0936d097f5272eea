namespace DriftWatch.Plant.Alarms;

/// <summary>States of an alarm as IEC 62682 and ANSI/ISA-18.2 name them.</summary>
public enum AlarmState
{
    /// <summary>Normal (NORM).</summary>
    Normal,

    /// <summary>Unacknowledged alarm (UNACK).</summary>
    Unacknowledged,

    /// <summary>Acknowledged alarm (ACKED).</summary>
    Acknowledged,

    /// <summary>Returned to normal, unacknowledged (RTNUN).</summary>
    ReturnedToNormalUnacknowledged,

    /// <summary>Latched, unacknowledged (LTUNK): the condition is gone, the alarm waits for a reset.</summary>
    LatchedUnacknowledged,

    /// <summary>Latched, acknowledged (LTACK).</summary>
    LatchedAcknowledged,

    /// <summary>Shelved (SHLVD).</summary>
    Shelved,

    /// <summary>Suppressed by design (DSUPR).</summary>
    SuppressedByDesign,

    /// <summary>Out of service (OOSRV).</summary>
    OutOfService,
}
