namespace DriftWatch.Trends.Segments;

/// <summary>A stretch of time in which the gas amount changed by leakage alone.</summary>
/// <param name="Number">From 0, in order of time.</param>
/// <param name="Start">Where it begins, UTC.</param>
/// <param name="Cause">Why it began.</param>
public sealed record TrendSegment(int Number, DateTimeOffset Start, SegmentCause Cause);
