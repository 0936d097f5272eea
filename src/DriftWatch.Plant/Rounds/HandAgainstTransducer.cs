using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Rounds;

/// <summary>Sets readings by hand beside the windows of the transducer.</summary>
public static class HandAgainstTransducer
{
    /// <summary>How far reading and window may lie apart: what may be lost meanwhile enters the uncertainty.</summary>
    internal static readonly TimeSpan Reach = TimeSpan.FromDays(7);

    /// <summary>The comparisons, in order of time.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="readings">Its readings by hand, in order of time; those from before the segment are left out.</param>
    /// <param name="points">Accepted windows of one trend segment, in order of time: no charge and no change of the transducer lies between them.</param>
    /// <param name="segment">That segment.</param>
    /// <param name="asOf">Up to when, UTC.</param>
    public static IReadOnlyList<TransducerComparison> Compare(
        VesselSpecification vessel, IReadOnlyList<HandReading> readings, IReadOnlyList<PrechargeWindow> points, TrendSegment segment, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(points);
        ArgumentNullException.ThrowIfNull(segment);
        List<TransducerComparison> comparisons = [];
        foreach (HandReading reading in readings)
        {
            if (reading.At > asOf || !IsOf(segment, reading.At) || Nearest(points, reading.At) is not { } window)
            {
                continue;
            }

            double between = vessel.AllowedLossPaPerSecond * (window.Middle - reading.At).Duration().TotalSeconds;

            // An unknown gauge may be that of the last check or another: its calibration counts as both.
            double other = reading.GaugeId.Length == 0 ? reading.SharedUncertaintyPa : 0;
            double random = double.Hypot(
                double.Hypot(window.RandomUncertaintyPa, reading.RandomUncertaintyPa), double.Hypot(between, other));
            comparisons.Add(new TransducerComparison(
                reading.At, window.PrechargePa - reading.PrechargePa, random, reading.GaugeId, reading.SharedUncertaintyPa));
        }

        return comparisons;
    }

    /// <summary>What they say of the drift of the transducer; null without a comparison.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="readings">Its readings by hand, in order of time.</param>
    /// <param name="points">Accepted windows of one trend segment, in order of time.</param>
    /// <param name="segment">That segment.</param>
    /// <param name="installed">From when on drift counts, UTC: the last change of the transducer, else its first reading.</param>
    /// <param name="asOf">Up to when, UTC.</param>
    public static TransducerDrift? Drift(
        VesselSpecification vessel,
        IReadOnlyList<HandReading> readings,
        IReadOnlyList<PrechargeWindow> points,
        TrendSegment segment,
        DateTimeOffset installed,
        DateTimeOffset asOf)
    {
        IReadOnlyList<TransducerComparison> comparisons = Compare(vessel, readings, points, segment, asOf);
        TransducerDrift? drift = comparisons.Count == 0 ? null : TransducerDriftTest.Of(
            installed, comparisons, points[^1].SharedUncertaintyPa, vessel.AllowedLossPaPerSecond, vessel.FalseAlarmProbability);
        return drift is { Count: > 0 } ? drift : null;
    }

    /// <summary>
    /// Whether a reading is of the gas and the transducer that the windows of a segment show. Before the first window of all nothing is known to
    /// have happened; at the moment of a charge a check tells what was found before it.
    /// </summary>
    private static bool IsOf(TrendSegment segment, DateTimeOffset at) => segment.Cause switch
    {
        SegmentCause.FirstWindow => true,
        SegmentCause.RecordedCharge => at > segment.Start,
        _ => at >= segment.Start,
    };

    /// <summary>The nearest window in reach; null for none.</summary>
    private static PrechargeWindow? Nearest(IReadOnlyList<PrechargeWindow> points, DateTimeOffset at)
    {
        int low = 0;
        int high = points.Count;
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (points[middle].Middle < at)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        PrechargeWindow? after = low < points.Count ? points[low] : null;
        PrechargeWindow? before = low > 0 ? points[low - 1] : null;
        PrechargeWindow? nearest = after is null || (before is not null && at - before.Middle <= after.Middle - at) ? before : after;
        return nearest is not null && (nearest.Middle - at).Duration() <= Reach ? nearest : null;
    }
}
