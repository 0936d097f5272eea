namespace DriftWatch.Trends.Trend;

/// <summary>
/// Straight line through the precharge points of one segment:
/// precharge(t) = <see cref="LevelPa"/> + <see cref="SlopePaPerSecond"/> x (t - <see cref="Origin"/>).
/// The origin is the weighted mean of the instants, so that level and slope are uncorrelated.
/// </summary>
public sealed record TrendFit
{
    /// <summary>Weighted mean of the instants, UTC.</summary>
    public required DateTimeOffset Origin { get; init; }

    /// <summary>Precharge at the origin, Pa absolute at the reference temperature.</summary>
    public required double LevelPa { get; init; }

    /// <summary>Slope, Pa/s; negative for a loss.</summary>
    public required double SlopePaPerSecond { get; init; }

    /// <summary>Standard uncertainty of the level from the random parts, Pa.</summary>
    public required double LevelRandomUncertaintyPa { get; init; }

    /// <summary>Standard uncertainty of every level from the shared parts (sensor offset and the like), Pa.</summary>
    public required double SharedUncertaintyPa { get; init; }

    /// <summary>Standard uncertainty of the slope, Pa/s.</summary>
    public required double SlopeUncertaintyPaPerSecond { get; init; }

    /// <summary>Coverage factor for a two-sided 95 % interval of level and slope (Student, with the degrees of freedom).</summary>
    public required double CoverageFactor95 { get; init; }

    /// <summary>Number of points, at least 2.</summary>
    public required int PointCount { get; init; }

    /// <summary>Degrees of freedom behind the residual scatter.</summary>
    public required double DegreesOfFreedom { get; init; }

    /// <summary>First and last instant of the points, UTC.</summary>
    public required DateTimeOffset FirstPoint { get; init; }

    /// <inheritdoc cref="FirstPoint"/>
    public required DateTimeOffset LastPoint { get; init; }

    /// <summary>
    /// Slope interval that holds at every look at once over the life of the vessel, Pa/s: lower (steepest loss) end.
    /// Minus infinity while nothing can be said.
    /// </summary>
    public required double SequentialSlopeLowPaPerSecond { get; init; }

    /// <summary>Upper end of the sequential interval, Pa/s; plus infinity while nothing can be said.</summary>
    public required double SequentialSlopeHighPaPerSecond { get; init; }

    /// <summary>
    /// Since when the line holds, UTC, where the loss rate changed within the segment; null when it holds for the whole segment.
    /// </summary>
    public DateTimeOffset? LossChanged { get; init; }

    /// <summary>
    /// The loss in proportion to what is left, once so much is lost that it matters and unless the data speak against it; else null.
    /// </summary>
    public FirstOrderLoss? FirstOrder { get; init; }

    /// <summary>Whether the data call for <see cref="FirstOrder"/> in place of the straight line.</summary>
    public bool IsCurved { get; init; }

    private FirstOrderLoss? Curve => IsCurved ? FirstOrder : null;

    /// <summary>Precharge at an instant, Pa absolute at the reference temperature: on the curve where the data call for it, else on the line.</summary>
    public double LevelAtPa(DateTimeOffset instant) =>
        Curve?.LevelAtPa(instant) ?? (LevelPa + (SlopePaPerSecond * (instant - Origin).TotalSeconds));

    /// <summary>Standard uncertainty of <see cref="LevelAtPa"/> from the random parts, Pa.</summary>
    public double RandomUncertaintyAtPa(DateTimeOffset instant) =>
        Curve?.RandomUncertaintyAtPa(instant) ?? double.Hypot(LevelRandomUncertaintyPa, SlopeUncertaintyPaPerSecond * (instant - Origin).TotalSeconds);

    /// <summary>
    /// Slope at the last point, Pa/s, negative for a loss: of the curve where the data call for it, else of the line. It is what is told as
    /// the present rate.
    /// </summary>
    public double SlopeNowPaPerSecond() => Curve?.SlopeAtPaPerSecond(LastPoint) ?? SlopePaPerSecond;

    /// <summary>Half-width of the 95 % interval of <see cref="SlopeNowPaPerSecond"/>, Pa/s.</summary>
    public double SlopeNowHalfWidthPaPerSecond() =>
        CoverageFactor95 * (Curve?.SlopeUncertaintyAtPaPerSecond(LastPoint) ?? SlopeUncertaintyPaPerSecond);
}
