using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Prognosis;

public class CrossingForecasterTests
{
    private const double Day = 86400;
    private const double Limit = 90e5;

    /// <summary>
    /// Second route: the instants at which the edges of the 95 % band meet the limit, by bisection of the band itself.
    /// </summary>
    [Theory]
    [InlineData(100, -0.05, 0.002)]
    [InlineData(100, -0.05, 0.015)]
    [InlineData(91, -0.2, 0.01)]
    [InlineData(85, -0.05, 0.005)]
    [InlineData(90.3, -0.05, 0.005)]
    public void A_falling_line_has_the_interval_in_which_the_limit_lies_inside_the_band(double bar, double barPerDay, double uncertainty)
    {
        TrendFit fit = Fit(bar, barPerDay, uncertainty);
        CrossingForecast forecast = CrossingForecaster.Forecast(fit, Limit);
        double crossing = (bar - 90) / -barPerDay * Day;
        Assert.Equal(crossing, Seconds(forecast.Crossing!.Value), 1e-3);
        double early = Bisect(s => Band(fit, s, -1) - Limit, crossing - (20_000 * Day), crossing);
        double late = Bisect(s => Band(fit, s, +1) - Limit, crossing, crossing + (20_000 * Day));
        Assert.Equal(early, Seconds(forecast.Earliest!.Value), 1);
        Assert.Equal(late, Seconds(forecast.Latest!.Value), 1);
        Assert.True(forecast.Earliest < forecast.Crossing && forecast.Crossing < forecast.Latest);
    }

    [Fact]
    public void A_line_that_may_be_flat_has_an_early_end_only()
    {
        TrendFit fit = Fit(100, -0.01, 0.01);
        CrossingForecast forecast = CrossingForecaster.Forecast(fit, Limit);
        double early = Bisect(s => Band(fit, s, -1) - Limit, 0, 100_000 * Day);
        Assert.Equal(early, Seconds(forecast.Earliest!.Value), 1);
        Assert.Equal(1000 * Day, Seconds(forecast.Crossing!.Value), 1e-3);
        Assert.Null(forecast.Latest);
    }

    [Fact]
    public void A_line_that_rises_beyond_doubt_never_crosses() =>
        Assert.Equal(new CrossingForecast(null, null, null), CrossingForecaster.Forecast(Fit(100, 0.05, 0.005), Limit));

    [Fact]
    public void A_line_that_may_rise_or_fall_has_an_early_end_but_no_best_estimate()
    {
        TrendFit fit = Fit(100, 0.005, 0.01);
        CrossingForecast forecast = CrossingForecaster.Forecast(fit, Limit);
        Assert.Null(forecast.Crossing);
        Assert.Equal(Bisect(s => Band(fit, s, -1) - Limit, 0, 100_000 * Day), Seconds(forecast.Earliest!.Value), 1);
        Assert.Null(forecast.Latest);
    }

    [Fact]
    public void A_falling_line_below_the_limit_crossed_it_in_the_past()
    {
        CrossingForecast forecast = CrossingForecaster.Forecast(Fit(85, -0.05, 0.005), Limit);
        Assert.True(forecast.Latest < Make.Start);
    }

    /// <summary>Below the limit with a slope that may be zero: it came through before the last instant at which the band holds the limit.</summary>
    [Fact]
    public void A_flat_line_below_the_limit_does_not_look_ahead()
    {
        TrendFit fit = Fit(85, -0.002, 0.01);
        CrossingForecast forecast = CrossingForecaster.Forecast(fit, Limit);
        Assert.Null(forecast.Earliest);
        Assert.Equal(Bisect(s => Band(fit, s, +1) - Limit, -100_000 * Day, 0), Seconds(forecast.Latest!.Value), 1);
        Assert.True(forecast.Crossing < forecast.Latest);
    }

    [Fact]
    public void A_limit_inside_the_band_now_may_be_crossed_already()
    {
        TrendFit fit = Fit(90.2, -0.001, 0.01);
        Assert.Equal(fit.LastPoint, CrossingForecaster.Forecast(fit, Limit).Earliest);
        TrendFit flat = Fit(90, 0, 0.01);
        Assert.Equal(new CrossingForecast(null, flat.LastPoint, null), CrossingForecaster.Forecast(flat, Limit));
    }

    [Fact]
    public void Nothing_is_foretold_beyond_a_hundred_years()
    {
        CrossingForecast forecast = CrossingForecaster.Forecast(Fit(100, -0.0001, 0.000001), Limit);
        Assert.Equal(new CrossingForecast(null, null, null), forecast);
    }

    private static TrendFit Fit(double bar, double barPerDay, double slopeUncertaintyBarPerDay) => new()
    {
        Origin = Make.Start,
        LevelPa = bar * 1e5,
        SlopePaPerSecond = barPerDay * 1e5 / Day,
        LevelRandomUncertaintyPa = 0.1e5,
        SharedUncertaintyPa = 0.3e5,
        SlopeUncertaintyPaPerSecond = slopeUncertaintyBarPerDay * 1e5 / Day,
        CoverageFactor95 = 2.1,
        PointCount = 20,
        DegreesOfFreedom = 18,
        FirstPoint = Make.Start.AddDays(-30),
        LastPoint = Make.Start.AddDays(30),
        SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
        SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
    };

    private static double Seconds(DateTimeOffset instant) => (instant - Make.Start).TotalSeconds;

    private static double Band(TrendFit fit, double seconds, int side)
    {
        double slopePart = fit.SlopeUncertaintyPaPerSecond * seconds;
        return fit.LevelPa + (fit.SlopePaPerSecond * seconds)
            + (side * fit.CoverageFactor95 * Math.Sqrt((0.1e5 * 0.1e5) + (0.3e5 * 0.3e5) + (slopePart * slopePart)));
    }

    private static double Bisect(Func<double, double> function, double low, double high)
    {
        double atLow = function(low);
        Assert.True(atLow * function(high) < 0, "the bracket holds no crossing");
        for (int i = 0; i < 200; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = Math.Sign(function(middle)) == Math.Sign(atLow) ? (middle, high) : (low, middle);
        }

        return low;
    }
}
