using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Verdicts;

/// <summary>All that is said of a vessel at one moment, with what it rests on.</summary>
public sealed record Assessment
{
    /// <summary>The moment it is made for, UTC.</summary>
    public required DateTimeOffset AsOf { get; init; }

    /// <summary>The verdict.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>The verdict's reason in words, with figures in bar and per month; <see cref="VerdictWords"/> says it in any unit.</summary>
    public required string Reason { get; init; }

    /// <summary>What the verdict rests on; null in documents older than this.</summary>
    public VerdictGround? Ground { get; init; }

    /// <summary>From when on silence counts, UTC.</summary>
    public DateTimeOffset HeardLast { get; init; }

    /// <summary>Step of the precharge with which the segment began, Pa, negative for a loss; null when it began otherwise.</summary>
    public double? StepPa { get; init; }

    /// <summary>The current segment; null before the first trusted window.</summary>
    public TrendSegment? Segment { get; init; }

    /// <summary>Number of points in the current segment.</summary>
    public int PointCount { get; init; }

    /// <summary>End of the last accepted window, UTC; null before the first.</summary>
    public DateTimeOffset? LastWindow { get; init; }

    /// <summary>When a check by hand found the precharge, UTC, where the level is that of a check and not of the windows; null else.</summary>
    public DateTimeOffset? FoundByHand { get; init; }

    /// <summary>Precharge at <see cref="LevelSeen"/>, Pa absolute at the reference temperature; null where neither a window nor a check has shown one.</summary>
    public double? PrechargePa { get; init; }

    /// <summary>Combined standard uncertainty of <see cref="PrechargePa"/>, Pa.</summary>
    public double? PrechargeUncertaintyPa { get; init; }

    /// <summary>Usable volume lost at <see cref="PrechargePa"/>; null when that or a working pressure is not known.</summary>
    public UsableVolumeLoss? LostUsableVolume { get; init; }

    /// <summary>The line through the current segment; null with fewer points than a trend needs (<see cref="VerdictJudge.FewestForTrend"/>).</summary>
    public TrendFit? Fit { get; init; }

    /// <summary>When the lower limit is crossed; null without a fit.</summary>
    public CrossingForecast? Forecast { get; init; }

    /// <summary>A fault of a transducer or of the data that the reader must know; empty for none.</summary>
    public string DataFault { get; init; } = "";

    /// <summary>The faults of the signals one by one, as NAMUR NE 107 status; empty for none, and in documents older than the list.</summary>
    public SensorFaults Faults { get; init; } = SensorFaults.None;

    /// <summary>What checks by hand say of the drift of the pressure transducer; null where none lies near a window of this segment.</summary>
    public TransducerDrift? Drift { get; init; }

    /// <summary>What a rising precharge is likely to be; null when it does not rise, and in documents older than this.</summary>
    public RisingPrecharge? Rising { get; init; }

    /// <summary>When the precharge of this assessment was seen, UTC: by hand, else at the end of the last accepted window; null before the first.</summary>
    public DateTimeOffset? LevelSeen() => FoundByHand ?? LastWindow;
}
