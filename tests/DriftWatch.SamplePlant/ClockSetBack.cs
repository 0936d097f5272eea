namespace DriftWatch.SamplePlant;

/// <summary>A logger's clock that is set back.</summary>
/// <param name="At">When, UTC by the clock before.</param>
/// <param name="By">By how much.</param>
public sealed record ClockSetBack(DateTimeOffset At, TimeSpan By);
