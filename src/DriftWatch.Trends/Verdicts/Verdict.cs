namespace DriftWatch.Trends.Verdicts;

/// <summary>What is said of a vessel's precharge.</summary>
public enum Verdict
{
    /// <summary>Too little is known to say anything: too few points, or too wide an interval.</summary>
    NotKnownYet,

    /// <summary>Precharge inside the limits, and its loss known to be no faster than allowed, or known to within the allowed rate.</summary>
    WithinLimits,

    /// <summary>The loss rate is above the allowed one, beyond the false-alarm probability of the vessel; or gas was lost at once, which is not on record.</summary>
    FallingFasterThanAllowed,

    /// <summary>The precharge is below its lower limit.</summary>
    BelowLowerLimit,

    /// <summary>The precharge is above its upper limit.</summary>
    AboveUpperLimit,

    /// <summary>No precharge window for longer than the vessel may go without one.</summary>
    NoWindowTooLong,
}
