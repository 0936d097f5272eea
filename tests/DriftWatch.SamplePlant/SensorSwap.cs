namespace DriftWatch.SamplePlant;

/// <summary>Another specimen of a sensor.</summary>
/// <param name="At">From when on.</param>
/// <param name="StepBar">By how much it shows more than the one before, bar.</param>
public sealed record SensorSwap(DateTimeOffset At, double StepBar);
