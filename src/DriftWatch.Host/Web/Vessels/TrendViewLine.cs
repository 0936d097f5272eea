namespace DriftWatch.Host.Web.Vessels;

/// <summary>A place on the fitted line.</summary>
/// <param name="Instant">When, UTC.</param>
/// <param name="LevelPa">Precharge on the line, Pa absolute.</param>
/// <param name="HalfWidthPa">Half-width of the 95 % band, Pa.</param>
/// <param name="Ahead">Whether it lies beyond the last point.</param>
internal sealed record TrendViewLine(DateTimeOffset Instant, double LevelPa, double HalfWidthPa, bool Ahead);
