using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Trend;

/// <summary>A point a day; allowed 1 bar a month.</summary>
public class TrendSeriesTests(ITestOutputHelper output)
{
    private const double AllowedBarPerDay = 12 / 365.25;
    private const double Allowed = AllowedBarPerDay * 1e5 / 86400;

    [Fact]
    public void A_series_that_grew_gives_bit_for_bit_the_fit_of_one_made_at_once()
    {
        PrechargeWindow[] points = [.. Points(1000, day => 100 - (0.5 * AllowedBarPerDay * day), seed: 1)];
        var series = new TrendSeries();
        for (int i = 0; i < points.Length; i++)
        {
            series.Add(points[i]);
            if (i > 0 && i % 97 == 0)
            {
                Assert.Equal(TrendFitter.Fit(points[..(i + 1)], Allowed, 0.01), TrendFitter.Fit(series, Allowed, 0.01));
            }
        }
    }

    [Theory]
    [InlineData(79)]
    [InlineData(80)]
    [InlineData(1000)]
    [InlineData(5_000)]
    public void What_is_fitted_stays_small_and_loses_no_weight(int count)
    {
        TrendSeries series = TrendSeries.Of(Points(count, _ => 100, seed: 2));
        List<TrendEntry> entries = series.Entries(0, double.PositiveInfinity, series.Gross());
        Assert.InRange(entries.Count, Math.Min(count, 64), 208);
        Assert.Equal(count, entries.Sum(entry => entry.Count));
        Assert.Equal(count * 1e-8, entries.Sum(entry => entry.Weight), 1e-15 * count);
        Assert.InRange(series.Candidates.Count, 1, 14);
    }

    /// <summary>Second route: plain least squares through every single point.</summary>
    [Fact]
    public void The_line_through_the_condensed_series_is_the_line_through_its_points()
    {
        PrechargeWindow[] points = [.. Points(4000, day => 400 - (0.7 * AllowedBarPerDay * day), seed: 3)];
        TrendFit fit = TrendFitter.Fit(points, Allowed, 0.01);
        double[] seconds = [.. points.Select(point => (point.Middle - points[0].Middle).TotalSeconds)];
        double[] ones = [.. points.Select(_ => 1.0)];
        WeightedLine line = WeightedLine.Fit(seconds, [.. points.Select(point => point.PrechargePa)], ones, ones);
        Assert.InRange(Math.Abs(fit.SlopePaPerSecond - line.Slope) / fit.SlopeUncertaintyPaPerSecond, 0, 0.5);
    }

    [Fact]
    public void Gross_outliers_are_left_out_before_old_points_are_averaged()
    {
        PrechargeWindow[] points = [.. Points(1500, day => 200 - (0.5 * AllowedBarPerDay * day), seed: 4)];
        PrechargeWindow[] spoilt = [.. points.Select((point, i) => i % 19 == 7 ? point with { PrechargePa = point.PrechargePa + 10e5 } : point)];
        TrendFit clean = TrendFitter.Fit(points, Allowed, 0.01), with = TrendFitter.Fit(spoilt, Allowed, 0.01);
        Assert.InRange(Math.Abs(with.SlopePaPerSecond - clean.SlopePaPerSecond) / clean.SlopeUncertaintyPaPerSecond, 0, 1);
        Assert.Null(with.LossChanged);
    }

    [Theory]
    [InlineData(100)]
    [InlineData(700)]
    [InlineData(2500)]
    public void A_leak_that_begins_late_is_called_and_dated_though_the_whole_segment_lost_little(int tightDays)
    {
        PrechargeWindow[] points = [.. Points(tightDays + 60, day => 100 - (3 * AllowedBarPerDay * Math.Max(0, day - tightDays)), seed: 5)];
        TrendFit fit = TrendFitter.Fit(points, Allowed, 0.01);
        Assert.True(fit.SequentialSlopeHighPaPerSecond < -Allowed);
        double off = (fit.LossChanged!.Value - points[tightDays].Middle).TotalDays;
        output.WriteLine($"dated {off:0} days off");
        Assert.InRange(off, -20, 20);
        Assert.Equal(-3 * Allowed, fit.SlopePaPerSecond, 4 * fit.SlopeUncertaintyPaPerSecond);
    }

    /// <summary>Four times the allowed loss for two months, then mended without a record.</summary>
    [Theory]
    [InlineData(24)]
    [InlineData(40)]
    public void A_leak_that_is_over_is_not_called_once_its_end_is_proven(int daysSince)
    {
        TrendFit fit = TrendFitter.Fit(Points(60 + daysSince, day => 100 - (4 * AllowedBarPerDay * Math.Min(day, 60)), seed: 7), Allowed, 0.01);
        Assert.NotNull(fit.LossChanged);
        Assert.False(fit.SequentialSlopeHighPaPerSecond < -Allowed);
        Assert.Equal(0, fit.SlopePaPerSecond, 4 * fit.SlopeUncertaintyPaPerSecond);
    }

    /// <summary>A step of two scatters, and a leak that grows, prove a change too: the leak goes on.</summary>
    [Theory]
    [InlineData(1.6, 1.6, -2)]
    [InlineData(2, 4, 0)]
    public void A_leak_that_goes_on_after_a_change_stays_called(double before, double since, double stepScatters)
    {
        const int change = 150;
        for (int days = change - 10; days <= change + 40; days += 5)
        {
            TrendFit fit = TrendFitter.Fit(
                Points(days, day => 100 - (AllowedBarPerDay * ((before * Math.Min(day, change)) + (since * Math.Max(0, day - change)))) + (day >= change ? 0.1 * stepScatters : 0), seed: 8),
                Allowed, 0.01);
            Assert.True(fit.SequentialSlopeHighPaPerSecond < -Allowed, $"day {days}");
        }
    }

    [Fact]
    public void A_loss_in_proportion_to_what_is_left_is_known_and_an_even_one_is_not_taken_for_it()
    {
        TrendFit curved = TrendFitter.Fit(Points(300, day => 100 * Math.Exp(-day / 700), seed: 6), Allowed, 0.01);
        Assert.True(curved.IsCurved);
        Assert.Equal(1 / (700 * 86400.0), curved.FirstOrder!.RatePerSecond, 4 * curved.FirstOrder.RateUncertaintyPerSecond);
        Assert.Null(curved.LossChanged);
        TrendFit even = TrendFitter.Fit(Points(300, day => 100 - (0.12 * day), seed: 6), Allowed, 0.01);
        Assert.False(even.IsCurved);
        Assert.Null(even.FirstOrder);
    }

    /// <summary>
    /// Line and curve lie apart by sqrt(5.41) deviations of a point, where chance takes the one for the other most often: by 1 % of normal
    /// deviates above sqrt(5.41) = 2.326. A parabola with the ends of exp leaves f^2 / 2 / (1 - f / 2) / sqrt(180) of the level beside its
    /// line, f the share lost: 0.052 bar over 20 points, for f = 0.114.
    /// </summary>
    [Fact]
    public void An_even_loss_is_taken_for_one_that_slows_down_once_in_a_hundred_at_most()
    {
        const int trials = 2000, count = 20;
        const double share = 0.114;
        int curved = Enumerable.Range(0, trials).Count(trial =>
            TrendFitter.Fit(Points(count, day => 100 * (1 - (share * day / (count - 1))), seed: trial), Allowed, 0.01).IsCurved);
        Assert.InRange(curved, 0, (0.01 * trials) + (4 * Math.Sqrt(0.01 * 0.99 * trials)));
    }

    private static IEnumerable<PrechargeWindow> Points(int count, Func<double, double> bar, int seed)
    {
        var dice = new NormalDice(seed);
        for (int day = 0; day < count; day++)
        {
            yield return Make.Window(day, bar(day) + (0.1 * dice.Next()));
        }
    }
}
