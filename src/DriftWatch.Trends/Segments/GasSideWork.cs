namespace DriftWatch.Trends.Segments;

/// <summary>Work on the gas side, on record, after which the windows are not those of before: a trend segment ends with it.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="Kind">What was done.</param>
public readonly record struct GasSideWork(DateTimeOffset At, GasSideWorkKind Kind);
