using DriftWatch.SamplePlant;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Study;

/// <summary>
/// Vessels that lose exactly what is allowed for ten years, looked at after every point: how many are ever called 'falling
/// faster than allowed', and in how many the loss rate is ever said to have changed.
/// </summary>
public static class LifeStudy
{
    /// <summary>Allowed loss, Pa a day: 1 bar a month.</summary>
    public const double AllowedPaPerDay = 1e5 / (365.25 / 12);

    private const double DaySeconds = 86400;

    /// <summary>Lives of a number of points, a given number of days apart.</summary>
    public static LifeFigures Run(int lives, int points, double spacingDays, double alpha, World world)
    {
        string purpose = FormattableString.Invariant($"life {points} {spacingDays} {alpha} {world}");
        (bool Called, bool Changed)[] outcomes = Trials.Run(purpose, lives, dice => One(points, spacingDays, alpha, world, dice));
        return new LifeFigures(lives, outcomes.Count(outcome => outcome.Called), outcomes.Count(outcome => outcome.Changed));
    }

    private static (bool Called, bool Changed) One(int points, double spacingDays, double alpha, World world, Dice dice)
    {
        var maker = new PointMaker(world, dice);
        var series = new TrendSeries();
        bool changed = false;
        for (int i = 0; i < points; i++)
        {
            series.Add(maker.At(i * spacingDays, 400e5 - (AllowedPaPerDay * i * spacingDays)));
            if (i < 2)
            {
                continue;
            }

            TrendFit fit = TrendFitter.Fit(series, AllowedPaPerDay / DaySeconds, alpha);
            if (fit.SequentialSlopeHighPaPerSecond < -AllowedPaPerDay / DaySeconds)
            {
                return (true, changed);
            }

            changed |= fit.LossChanged is not null;
        }

        return (false, changed);
    }
}
