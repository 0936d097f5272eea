using DriftWatch.Gas.Units;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Tests;

public sealed class ExtremeInputTests
{
    [Theory]
    [MemberData(nameof(TrendChartImageTests.Cases), MemberType = typeof(TrendChartImageTests))]
    public void Every_case_draws_in_every_unit_on_the_smallest_chart(string name)
    {
        var item = TrendChartImageTests.Case(name);
        foreach (var unit in PressureUnit.All)
        {
            Assert.NotEmpty(item.Chart(unit, new ChartStyle(ChartStyle.LeastWidthPx, ChartStyle.LeastHeightPx)).ToPng());
        }
    }

    [Fact]
    public void A_crossing_decades_ahead_does_not_press_the_points_together()
    {
        var content = TrendChartImageTests.Content(ChartCase.DecadesAhead());
        Assert.NotNull(content.Crossing);
        Assert.False(content.Time.Holds(content.Crossing.Value.Day));
        Assert.True(content.Time.Length < 2 * 401);
        Assert.InRange(content.Forecast[^1].Day, content.Current[^1].Day, content.Time.High);
    }

    [Fact]
    public void A_crossing_at_the_end_of_the_calendar_draws()
    {
        var item = ChartCase.SlowLeak();
        CrossingForecast never = new(DateTimeOffset.MaxValue, DateTimeOffset.MaxValue, DateTimeOffset.MaxValue);
        item = item with { Assessment = item.Assessment with { Forecast = never } };
        Assert.NotEmpty(item.Chart().ToPng());
        Assert.Contains("9999", item.Chart().ToSvg(), StringComparison.Ordinal);
    }

    [Fact]
    public void An_open_interval_runs_to_the_border()
    {
        var content = TrendChartImageTests.Content(ChartCase.OpenEnd());
        Assert.Null(content.Crossing!.Value.Latest);
        Assert.Contains("or never", ChartCase.OpenEnd().Chart().ToSvg(), StringComparison.Ordinal);
    }

    [Fact]
    public void Infinite_bounds_and_uncertainties_draw_a_line_without_a_band()
    {
        var item = ChartCase.SlowLeak();
        var fit = item.Assessment.Fit! with
        {
            SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
            SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
            SlopeUncertaintyPaPerSecond = double.PositiveInfinity,
            LevelRandomUncertaintyPa = double.NaN,
        };
        item = item with { Assessment = item.Assessment with { Fit = fit, Forecast = new CrossingForecast(null, null, null) } };
        var content = TrendChartImageTests.Content(item);
        Assert.All(content.Trend, p => Assert.Equal((p.Level, p.Level), (p.Low, p.High)));
        Assert.Contains("no interval yet", item.Chart().ToSvg(), StringComparison.Ordinal);
        Assert.NotEmpty(item.Chart().ToPng());
    }

    [Fact]
    public void A_window_without_a_finite_precharge_is_left_out()
    {
        var item = ChartCase.SlowLeak();
        item.Windows.Add(item.Windows[^1] with { PrechargePa = double.NaN, Standing = WindowStanding.Rejected });
        item.Windows.Add(item.Windows[^1] with { PrechargePa = double.PositiveInfinity, Standing = WindowStanding.Ambiguous });
        var content = TrendChartImageTests.Content(item);
        Assert.Empty(content.Rejected);
        Assert.Empty(content.Ambiguous);
        Assert.NotEmpty(item.Chart().ToPng());
    }

    [Fact]
    public void One_wild_point_among_many_does_not_flatten_the_trend()
    {
        var item = ChartCase.Years();
        item.Windows[1500] = item.Windows[1500] with { PrechargePa = 600e5 };
        Assert.True(TrendChartImageTests.Content(item).Pressure.High < 120);
        Assert.Contains("outside the scale (1)", item.Chart().ToSvg(), StringComparison.Ordinal);
    }

    [Fact]
    public void Windows_at_one_instant_draw()
    {
        var window = ChartCase.Line(0, 0.5, 1, 100, 0, 0.2)[0];
        var item = ChartCase.Case("same", [window], [], 0, Verdict.NotKnownYet);
        item.Windows.AddRange([window, window with { RandomUncertaintyPa = double.NaN }]);
        Assert.NotEmpty(item.Chart().ToPng());
    }

    [Fact]
    public void Order_of_windows_does_not_matter()
    {
        var item = ChartCase.Recharge();
        var turned = item with { Windows = [.. item.Windows.AsEnumerable().Reverse()] };
        Assert.Equal(item.Chart().ToPng(), turned.Chart().ToPng());
    }
}
