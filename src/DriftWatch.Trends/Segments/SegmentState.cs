using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Segments;

/// <summary>Where the division into segments stands. The points themselves are in the record of windows.</summary>
/// <param name="Current">The current segment; null while no level is trusted.</param>
/// <param name="NextNumber">Number of the next segment.</param>
/// <param name="WorkPassed">How much of the work on record lies behind.</param>
/// <param name="LastWork">The work on record after which no window was trusted yet; null for none.</param>
/// <param name="Suspended">The segment before an unrecorded charge that may yet prove to be trapped fluid.</param>
/// <param name="PreviousLevelPa">Level expected where a step (sudden loss, unrecorded charge) began the current segment, of a loss after what is allowed since the last point, Pa absolute; null where it began otherwise.</param>
/// <param name="Pending">Windows not decided yet, oldest first.</param>
/// <param name="LastRevocation">Instant of the newest reading when points of a segment were last taken back, UTC; the minimum for never.</param>
/// <param name="Seen">Windows held against an expectation, up to the memory of <see cref="WindowRun"/>.</param>
/// <param name="Alone">Those of them that lay far off alone: no later window confirmed them.</param>
/// <param name="Scatter">Scatter of the windows about what was expected of them, over the budget's.</param>
public sealed record SegmentState(
    TrendSegment? Current,
    int NextNumber,
    int WorkPassed,
    GasSideWork? LastWork,
    TrendSegment? Suspended,
    double? PreviousLevelPa,
    IReadOnlyList<PrechargeWindow> Pending,
    DateTimeOffset LastRevocation,
    int Seen = 0,
    int Alone = 0,
    double Scatter = WindowRun.ScatterAtFirst)
{
    /// <summary>Before the first window.</summary>
    public static SegmentState Start { get; } = new(null, 0, 0, null, null, null, [], DateTimeOffset.MinValue);
}
