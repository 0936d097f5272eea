using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Segments;

/// <summary>
/// What stays in memory of the points of one segment: the series condensed for the fit, the newest points for all that looks back at single
/// windows, the first, and those on both sides of each check by hand. A vessel that loses next to nothing stays in one segment for years;
/// the record of windows has all its points. Not thread-safe.
/// </summary>
/// <param name="checkedAt">Instants at which the vessel was checked by hand, UTC.</param>
internal sealed class SegmentPoints(IReadOnlyList<DateTimeOffset> checkedAt)
{
    /// <summary>The newest points that stay: nothing looks further back than the test for a rising precharge, at 60.</summary>
    private const int Newest = 64;

    /// <summary>How many more come before older ones are let go.</summary>
    private const int Room = 32;

    private readonly List<PrechargeWindow> _kept = [];
    private int _limit = Newest + Room;

    /// <summary>The points that were kept, in order of time: all while <see cref="IsWhole"/>.</summary>
    public IReadOnlyList<PrechargeWindow> Kept => _kept;

    /// <summary>All points, condensed for the fit.</summary>
    public TrendSeries Series { get; } = new();

    /// <summary>Whether no point was let go.</summary>
    public bool IsWhole => _kept.Count == Series.Count;

    /// <summary>Whether it is time to let go of old points.</summary>
    public bool IsFull => _kept.Count >= _limit;

    /// <summary>Takes a point in; not before the last one.</summary>
    public void Append(PrechargeWindow point)
    {
        _kept.Add(point);
        Series.Add(point);
    }

    /// <summary>Lets go of the points that nothing looks back at.</summary>
    public void LetGo()
    {
        int old = _kept.Count - Newest;
        PrechargeWindow[] stay =
        [
            .. Enumerable.Range(0, old).Where(i => i == 0 || IsCheckedBetween(i - 1, i) || IsCheckedBetween(i, i + 1)).Select(i => _kept[i]),
        ];
        _kept.RemoveRange(0, old);
        _kept.InsertRange(0, stay);
        _limit = _kept.Count + Room;
    }

    private bool IsCheckedBetween(int before, int after) =>
        checkedAt.Any(at => at > _kept[before].Middle && at <= _kept[after].Middle);
}
