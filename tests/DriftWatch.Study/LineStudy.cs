using DriftWatch.SamplePlant;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Study;

/// <summary>A straight loss, a point every other day: error of the slope and coverage of its 95 % interval.</summary>
public static class LineStudy
{
    private const double DaySeconds = 86400;
    private const double SpacingDays = 2;
    private const double SlopePaPerDay = -3000;

    /// <summary>Trials of one number of points in one world.</summary>
    public static LineFigures Run(int points, int trials, World world)
    {
        string purpose = FormattableString.Invariant($"line {points} {world}");
        (double Off, bool Covered)[] outcomes = Trials.Run(purpose, trials, dice => One(points, world, dice));
        double bound = PointMaker.UncertaintyPa / (SpacingDays * DaySeconds * Math.Sqrt(points * (((double)points * points) - 1) / 12));
        return new LineFigures(
            points, trials,
            Math.Sqrt(outcomes.Average(outcome => outcome.Off * outcome.Off)) / bound,
            outcomes.Average(outcome => outcome.Covered ? 1.0 : 0));
    }

    private static (double Off, bool Covered) One(int points, World world, Dice dice)
    {
        var maker = new PointMaker(world, dice);
        var series = new TrendSeries();
        for (int i = 0; i < points; i++)
        {
            PrechargeWindow point = maker.At(i * SpacingDays, 100e5 + (SlopePaPerDay * i * SpacingDays));
            series.Add(point);
        }

        TrendFit fit = TrendFitter.Fit(series, 1e5 / (365.25 / 12 * DaySeconds), 0.01);
        double off = fit.SlopePaPerSecond - (SlopePaPerDay / DaySeconds);
        return (off, Math.Abs(off) <= fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond);
    }
}
