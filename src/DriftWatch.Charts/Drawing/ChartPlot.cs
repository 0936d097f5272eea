using DriftWatch.Charts.Content;
using ScottPlot;
using ScottPlot.TickGenerators;

namespace DriftWatch.Charts.Drawing;

/// <summary>The plot itself: everything inside the axes that belongs to a coordinate.</summary>
internal static class ChartPlot
{
    // Error bars closer than this run into one grey; fewer and lighter ones still show their length.
    private const double LeastBarSpacingPx = 5;
    // Marks closer than this on average run into one dark band.
    private const double CrowdedSpacingPx = 4;
    private const float LeastMarkPx = 4;
    private const float FullMarkPx = 8;

    public static Plot Make(ChartContent content, ChartLayout layout)
    {
        Plot plot = new();
        plot.FigureBackground.Color = Ink.Paper;
        plot.DataBackground.Color = Ink.Paper;
        plot.Layout.Fixed(new PixelRect(layout.Left, layout.Right, layout.Bottom, layout.Top));
        plot.Axes.SetLimits(content.Time.Low, content.Time.High, layout.Pressure.Low, layout.Pressure.High);
        Axes(plot, layout);
        Band(plot, content, layout);
        Lines(plot, content);
        Points(plot, content, layout);
        return plot;
    }

    private static void Axes(Plot plot, ChartLayout layout)
    {
        // Labels are written by the lettering; the ticks here only carry grid and tick strokes.
        plot.Axes.Bottom.TickGenerator = Manual(layout.TimeTicks);
        plot.Axes.Left.TickGenerator = Manual(layout.PressureTicks);
        plot.Grid.MajorLineColor = Ink.Grid;
        plot.Axes.Top.FrameLineStyle.IsVisible = false;
        plot.Axes.Right.FrameLineStyle.IsVisible = false;
        foreach (var axis in new IAxis[] { plot.Axes.Bottom, plot.Axes.Left })
        {
            axis.FrameLineStyle.Color = Ink.Quiet;
            axis.MajorTickStyle.Color = Ink.Quiet;
        }
    }

    private static NumericManual Manual(IReadOnlyList<AxisTick> ticks) =>
        new([.. ticks.Select(t => t.Position)], [.. ticks.Select(_ => "")]);

    private static void Band(Plot plot, ChartContent content, ChartLayout layout)
    {
        if (content.Trend.Count > 0)
        {
            var band = plot.Add.FillY(content.Trend.Select(p => (p.Day, p.Low, p.High)).ToList());
            band.FillColor = Ink.Band;
            band.LineWidth = 0;
            band.MarkerStyle.IsVisible = false;
        }

        foreach (var edge in new Func<BandPoint, double>[] { p => p.Low, p => p.High })
        {
            Curve(plot, layout, content.Forecast, edge, Ink.Quiet, 1, Dash.Band);
        }
    }

    private static void Lines(Plot plot, ChartContent content)
    {
        foreach (var item in content.Events)
        {
            var isAsOf = item.IsAsOf;
            plot.Add.VerticalLine(item.Day, isAsOf ? 1 : 1.3f, Ink.Quiet, isAsOf ? Dash.AsOf : Dash.Event);
        }

        plot.Add.HorizontalLine(content.Nominal, 1, Ink.Past, LinePattern.Solid);
        plot.Add.HorizontalLine(content.UpperLimit, 1.6f, Ink.Limit, Dash.Limit);
        plot.Add.HorizontalLine(content.LowerLimit, 1.6f, Ink.Limit, Dash.Limit);
    }

    private static void Points(Plot plot, ChartContent content, ChartLayout layout)
    {
        Bars(plot, content.Earlier, layout, Ink.LightBar);
        Marks(plot, content.Earlier, MarkerShape.FilledCircle, Ink.Past, layout);
        Bars(plot, content.Current, layout, IsCrowded(content.Current, layout) ? Ink.Past : Ink.Quiet);
        if (IsCrowded(content.Current, layout))
        {
            // A crowd of points would bury the line; a pale rim lifts it above them.
            Marks(plot, content.Current, MarkerShape.FilledCircle, Ink.Text, layout);
            Curve(plot, layout, content.Trend, p => p.Level, Ink.Paper, 4, LinePattern.Solid);
            Curve(plot, layout, content.Trend, p => p.Level, Ink.Trend, 2, LinePattern.Solid);
        }
        else
        {
            Curve(plot, layout, content.Trend, p => p.Level, Ink.Trend, 2, LinePattern.Solid);
            Marks(plot, content.Current, MarkerShape.FilledCircle, Ink.Text, layout);
        }

        Curve(plot, layout, content.Forecast, p => p.Level, Ink.Trend, 2, Dash.Forecast);
        Bars(plot, content.Checks, layout, Ink.Trend);
        Marks(plot, content.Checks, MarkerShape.OpenSquare, Ink.Trend, layout);
        Marks(plot, content.Rejected, MarkerShape.Eks, Ink.Quiet, layout);
        Marks(plot, content.Ambiguous, MarkerShape.OpenDiamond, Ink.Text, layout);
    }

    private static bool IsCrowded(IReadOnlyList<ChartPoint> points, ChartLayout layout) => Spacing(points, layout) < CrowdedSpacingPx;

    // Points in order of time.
    private static double Spacing(IReadOnlyList<ChartPoint> points, ChartLayout layout) =>
        points.Count < 2 ? FullMarkPx * 2 : (layout.X(points[^1].Day) - layout.X(points[0].Day)) / (points.Count - 1);

    private static void Curve(
        Plot plot, ChartLayout layout, IReadOnlyList<BandPoint> line, Func<BandPoint, double> value, Color colour, float width, LinePattern pattern)
    {
        // A little beyond the picture, so that no end shows.
        AxisSpan drawn = new(layout.Pressure.Low - layout.Pressure.Length, layout.Pressure.High + layout.Pressure.Length);
        foreach (var part in LineClip.Within(drawn, [.. line.Select(p => new Coordinates(p.Day, value(p)))]))
        {
            var curve = plot.Add.ScatterLine(part, colour);
            curve.LineWidth = width;
            curve.LinePattern = pattern;
        }
    }

    private static void Bars(Plot plot, IReadOnlyList<ChartPoint> points, ChartLayout layout, Color colour)
    {
        // Even steps; the last point, which the reader looks at, keeps its bar.
        var step = (int)Math.Clamp(Math.Ceiling(LeastBarSpacingPx / Math.Max(0.01, Spacing(points, layout))), 1, 1000);
        var barred = points.Where((p, n) => (points.Count - 1 - n) % step == 0 && p.HalfWidth95 > 0).ToList();
        if (barred.Count > 0)
        {
            var bars = plot.Add.ErrorBar(
                barred.Select(p => p.Day).ToArray(), barred.Select(p => p.Value).ToArray(), barred.Select(p => p.HalfWidth95).ToArray());
            bars.LineColor = colour;
            bars.LineWidth = IsCrowded(points, layout) ? 0.8f : 1.2f;
            bars.CapSize = Spacing(points, layout) < FullMarkPx ? 0 : 3;
        }
    }

    private static void Marks(Plot plot, IReadOnlyList<ChartPoint> points, MarkerShape shape, Color colour, ChartLayout layout)
    {
        var inside = points.Where(p => layout.Pressure.Holds(p.Value)).ToList();
        if (inside.Count == 0)
        {
            return;
        }

        var size = (float)Math.Clamp(0.8 * Spacing(inside, layout), LeastMarkPx, FullMarkPx);
        var isFilled = shape == MarkerShape.FilledCircle;
        var marks = plot.Add.Markers(
            inside.Select(p => p.Day).ToArray(), inside.Select(p => p.Value).ToArray(), shape, isFilled ? size : Math.Max(6.5f, size), colour);
        marks.MarkerLineWidth = isFilled ? 0 : 1.4f;
    }
}
