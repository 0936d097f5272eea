namespace DriftWatch.SamplePlant;

/// <summary>The verdict that the planted truth calls for at the end of the data.</summary>
public enum Verdict
{
    WithinLimits,
    FallingFasterThanAllowed,
    BelowLowerLimit,
    AboveUpperLimit,
    NotKnownYet,
    NoWindowTooLong,
}
