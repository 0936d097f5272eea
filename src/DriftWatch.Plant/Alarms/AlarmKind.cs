namespace DriftWatch.Plant.Alarms;

/// <summary>What an alarm is about; a vessel has one alarm of each kind. The graver come first.</summary>
public enum AlarmKind
{
    /// <summary>Nearly all gas is gone: the separator may have failed. Latched until someone has looked.</summary>
    PrechargeNearlyGone,

    /// <summary>The precharge is below its lower limit.</summary>
    BelowLowerLimit,

    /// <summary>The precharge falls faster than allowed.</summary>
    FallingFasterThanAllowed,

    /// <summary>The precharge is above its upper limit.</summary>
    AboveUpperLimit,

    /// <summary>No precharge window for too long: nothing is known.</summary>
    NoWindowTooLong,

    /// <summary>A transducer or the data is at fault.</summary>
    DataFault,
}
