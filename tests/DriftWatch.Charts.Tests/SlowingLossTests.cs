using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using ScottPlot;
using ScottPlot.Plottables;

namespace DriftWatch.Charts.Tests;

/// <summary>Where the data call for a curve the chart draws it, and says the present rate.</summary>
public class SlowingLossTests
{
    [Fact]
    public void The_drawn_trend_ends_at_the_level_that_is_told()
    {
        // 2 % a month of what is left, of 101.3 bar absolute, with the scatter of a line that lies level.
        List<PrechargeWindow> windows = [.. ChartCase.Line(0, 720, 1, 0, 0, 0.1).Select(window =>
        {
            double left = 101.3e5 * Math.Exp(-0.02 / 30.4375 * (window.Middle - ChartCase.Start).TotalDays);
            double pascals = left + window.PrechargePa - ChartCase.AmbientPa;
            return window with { PrechargePa = pascals, MeanPressurePa = pascals };
        })];
        ChartCase made = ChartCase.Case("slowing-loss", windows, [ChartCase.Segment(0, 0, SegmentCause.FirstWindow)], 721, Verdict.BelowLowerLimit);
        TrendFit fit = TrendFitter.Fit(windows, made.Vessel.Specification.AllowedLossPaPerSecond, 0.006);
        Assert.True(fit.IsCurved);
        ChartCase curved = made with { Assessment = made.Assessment with { Fit = fit, PrechargePa = fit.LevelAtPa(fit.LastPoint) } };
        var content = TrendChartImageTests.Content(curved);

        double trueBar = ((101.3e5 * Math.Exp(-0.02 / 30.4375 * (fit.LastPoint - ChartCase.Start).TotalDays)) - ChartCase.AmbientPa) / 1e5;
        Assert.Equal((curved.Assessment.PrechargePa!.Value - ChartCase.AmbientPa) / 1e5, content.Trend[^1].Level, 1e-3);
        Assert.InRange(trueBar, content.Trend[^1].Low, content.Trend[^1].High);

        // Drawn is the curve, not the chord between its ends, which lies 2 bar above it in the middle.
        BandPoint middle = content.Trend[content.Trend.Count / 2];
        Plot plot = ChartPlot.Make(content, new ChartLayout(content, ChartStyle.Page));
        Coordinates[] drawn = [.. plot.GetPlottables<Scatter>().Where(line => line.LineColor == Ink.Trend).SelectMany(line => line.Data.GetScatterPoints())];
        Assert.Contains(drawn, point => Math.Abs(point.X - middle.Day) < 1e-6 && Math.Abs(point.Y - middle.Level) < 1e-6);

        // 1.27 bar a month by then, 1.6 on the mean.
        Assert.Contains(content.Figures, figure => figure.StartsWith("Loss 1.2", StringComparison.Ordinal));
    }
}
