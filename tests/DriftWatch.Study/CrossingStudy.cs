using DriftWatch.SamplePlant;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Study;

/// <summary>
/// A loss that reaches its limit at a known date: how often the 95 % interval of the crossing date holds it, shared uncertainty of the
/// sensor included. With first-order losses also how often a curve was taken.
/// </summary>
public static class CrossingStudy
{
    private const double SharedPa = 20_000;
    private const double StartPa = 100e5;
    private const double DaySeconds = 86400;

    /// <summary>Trials of one number of points over a span.</summary>
    /// <param name="points">Points.</param>
    /// <param name="spanDays">Days from the first to the last.</param>
    /// <param name="lossShare">Share of the precharge that is lost over the span, above 0, below 1.</param>
    /// <param name="firstOrder">Whether the loss is in proportion to what is left; else even.</param>
    /// <param name="trials">Trials.</param>
    public static CrossingFigures Run(int points, double spanDays, double lossShare, bool firstOrder, int trials)
    {
        string purpose = FormattableString.Invariant($"crossing {points} {spanDays} {lossShare} {firstOrder}");
        (bool Covered, bool Curve)[] outcomes = Trials.Run(purpose, trials, dice => One(points, spanDays, lossShare, firstOrder, dice));
        return new CrossingFigures(
            points, outcomes.Average(outcome => outcome.Covered ? 1.0 : 0), outcomes.Average(outcome => outcome.Curve ? 1.0 : 0));
    }

    private static (bool Covered, bool Curve) One(int points, double spanDays, double lossShare, bool firstOrder, Dice dice)
    {
        var maker = new PointMaker(World.AsStated, dice);
        var series = new TrendSeries();
        double offsetPa = SharedPa * dice.Normal();
        for (int i = 0; i < points; i++)
        {
            double day = spanDays * i / (points - 1);
            series.Add(maker.At(day, True(day) + offsetPa, SharedPa));
        }

        // The limit is reached half as long again after the last point.
        double crossingDay = 1.5 * spanDays;
        double limitPa = True(crossingDay);
        TrendFit fit = TrendFitter.Fit(series, LifeStudy.AllowedPaPerDay / DaySeconds, 0.01);
        CrossingForecast forecast = CrossingForecaster.Forecast(fit, limitPa);
        DateTimeOffset truth = PointMaker.Start.AddDays(crossingDay);
        bool never = forecast is { Crossing: null, Earliest: null, Latest: null };
        bool covered = !never && !(forecast.Earliest > truth) && !(forecast.Latest < truth);
        return (covered, fit.IsCurved);

        double True(double day) => firstOrder
            ? StartPa * Math.Exp(Math.Log(1 - lossShare) * day / spanDays)
            : StartPa * (1 - (lossShare * day / spanDays));
    }
}
