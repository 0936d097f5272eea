using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Verdicts;

/// <summary>What a verdict is made from.</summary>
/// <param name="Segment">The current segment; null while no level is trusted.</param>
/// <param name="Points">Its accepted windows in order of time, of many the first and the newest 60 at least.</param>
/// <param name="Series">All of them, condensed for the fit.</param>
/// <param name="PreviousLevelPa">Level expected where a step began the current segment, of a loss after what is allowed since the last point, Pa absolute; null where it began otherwise.</param>
/// <param name="HeardLast">From when on silence counts, UTC.</param>
/// <param name="LastWindow">End of the last accepted window of any segment, UTC; null before the first.</param>
/// <param name="DataFault">A fault of a transducer or of the data; empty for none.</param>
public sealed record VesselEvidence(
    TrendSegment? Segment,
    IReadOnlyList<PrechargeWindow> Points,
    TrendSeries Series,
    double? PreviousLevelPa,
    DateTimeOffset HeardLast,
    DateTimeOffset? LastWindow,
    string DataFault);
