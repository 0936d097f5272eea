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
}
