namespace DriftWatch.Host.Web.Vessels;

/// <summary>A value and its instant, UTC.</summary>
public readonly record struct TimedValue(DateTimeOffset Instant, double Value);
