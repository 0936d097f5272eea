using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>A window as a point of the trend.</summary>
/// <param name="Window">Id of the window.</param>
/// <param name="Instant">Its middle, UTC.</param>
/// <param name="PrechargePa">Precharge, Pa absolute.</param>
/// <param name="HalfWidthPa">Half-width of its 95 % interval from the random parts, Pa.</param>
/// <param name="Standing">What became of it.</param>
/// <param name="Current">Whether the fitted line rests on it.</param>
internal sealed record TrendViewPoint(string Window, DateTimeOffset Instant, double PrechargePa, double HalfWidthPa, WindowStanding Standing, bool Current);
