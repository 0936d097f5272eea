using DriftWatch.SamplePlant;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Study;

/// <summary>
/// A leak that begins after a tight time: days until it is called, beside the best sequential test, which knows the moment
/// it began, both rates, the level and the deviation of a point: Wald's likelihood ratio of the true rate against the allowed one
/// (Wald, Sequential Analysis, 1947), called at 1/alpha.
/// </summary>
public static class DelayStudy
{
    private const double DaySeconds = 86400;
    private const int LongestDays = 1500;

    /// <summary>Mean days to the call.</summary>
    /// <param name="lives">Lives.</param>
    /// <param name="tightDays">Days without loss before the leak begins, a point each.</param>
    /// <param name="rate">Loss over the allowed one, above 1.</param>
    /// <param name="alpha">False-alarm probability of both tests.</param>
    public static DelayFigures Run(int lives, int tightDays, double rate, double alpha)
    {
        string purpose = FormattableString.Invariant($"delay {tightDays} {rate} {alpha}");
        (int Ours, int Best)[] outcomes = Trials.Run(purpose, lives, dice => One(tightDays, rate, alpha, dice));
        return new DelayFigures(outcomes.Average(outcome => outcome.Ours), outcomes.Average(outcome => outcome.Best));
    }

    private static (int Ours, int Best) One(int tightDays, double rate, double alpha, Dice dice)
    {
        var maker = new PointMaker(World.Right, dice);
        var series = new TrendSeries();
        for (int day = -tightDays; day < 0; day++)
        {
            series.Add(maker.At(day, 100e5));
        }

        int best = 0;
        double logRatio = 0, sharper = (rate - 1) * LifeStudy.AllowedPaPerDay / PointMaker.UncertaintyPa;
        for (int day = 0; day < LongestDays; day++)
        {
            double allowedPa = 100e5 - (LifeStudy.AllowedPaPerDay * day);
            PrechargeWindow point = maker.At(day, 100e5 - (rate * LifeStudy.AllowedPaPerDay * day));
            series.Add(point);
            double below = (allowedPa - point.PrechargePa) / PointMaker.UncertaintyPa;
            logRatio += (below * sharper * day) - (sharper * day * sharper * day / 2);
            best = best == 0 && logRatio >= -Math.Log(alpha) ? day : best;
            if (series.Count > 2 && TrendFitter.Fit(series, LifeStudy.AllowedPaPerDay / DaySeconds, alpha).SequentialSlopeHighPaPerSecond
                < -LifeStudy.AllowedPaPerDay / DaySeconds)
            {
                // The best test is let run to its own end.
                for (int later = day + 1; best == 0; later++)
                {
                    double error = dice.Normal();
                    logRatio += (sharper * later * sharper * later / 2) + (error * sharper * later);
                    best = logRatio >= -Math.Log(alpha) ? later : 0;
                }

                return (day, best);
            }
        }

        return (LongestDays, best);
    }
}
