namespace DriftWatch.Trends.Faults;

/// <summary>Status signals of NAMUR NE 107 (from memory); a signal without a fault is good.</summary>
public enum Ne107Status
{
    /// <summary>The signal is not valid: a fault of the device or its wiring.</summary>
    Failure,

    /// <summary>The signal is for now not to be relied on: somebody has to look how it is set up or connected.</summary>
    FunctionCheck,

    /// <summary>The device works outside the range or the conditions it is made for.</summary>
    OutOfSpecification,

    /// <summary>The signal is still valid; its reserve is nearly used up.</summary>
    MaintenanceRequired,
}
