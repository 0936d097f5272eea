namespace DriftWatch.Trends.Trend;

/// <summary>
/// The alternative to the straight line: a loss in proportion to the gas that is left, as permeation through the separator
/// goes, precharge(t) = <paramref name="LevelPa"/> x exp(-<paramref name="RatePerSecond"/> x (t - <paramref name="Origin"/>)).
/// </summary>
/// <param name="Origin">Weighted mean of the instants, UTC.</param>
/// <param name="LevelPa">Precharge at the origin, Pa absolute at the reference temperature; above 0.</param>
/// <param name="RatePerSecond">Share of the precharge that is lost in a second, 1/s; positive for a loss.</param>
/// <param name="LevelRelativeUncertainty">Relative standard uncertainty of the level from the random parts.</param>
/// <param name="RateUncertaintyPerSecond">Standard uncertainty of the rate, 1/s.</param>
public sealed record FirstOrderLoss(
    DateTimeOffset Origin, double LevelPa, double RatePerSecond, double LevelRelativeUncertainty, double RateUncertaintyPerSecond)
{
    /// <summary>Precharge on the curve at an instant, Pa absolute at the reference temperature.</summary>
    public double LevelAtPa(DateTimeOffset instant) => LevelPa * Math.Exp(-RatePerSecond * (instant - Origin).TotalSeconds);

    /// <summary>Standard uncertainty of the curve at an instant from the random parts, Pa.</summary>
    public double RandomUncertaintyAtPa(DateTimeOffset instant) =>
        LevelAtPa(instant) * double.Hypot(LevelRelativeUncertainty, RateUncertaintyPerSecond * (instant - Origin).TotalSeconds);

    /// <summary>Slope of the curve at an instant, Pa/s; negative for a loss.</summary>
    public double SlopeAtPaPerSecond(DateTimeOffset instant) => -RatePerSecond * LevelAtPa(instant);

    /// <summary>Standard uncertainty of the slope at an instant, Pa/s: level and rate are uncorrelated at the origin (JCGM 100, 5.1.2).</summary>
    public double SlopeUncertaintyAtPaPerSecond(DateTimeOffset instant) => LevelAtPa(instant) * double.Hypot(
        RatePerSecond * LevelRelativeUncertainty,
        (1 - (RatePerSecond * (instant - Origin).TotalSeconds)) * RateUncertaintyPerSecond);
}
