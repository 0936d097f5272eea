using ScottPlot;

namespace DriftWatch.Study;

/// <summary>The pictures of the study.</summary>
public static class Pictures
{
    /// <summary>Curves over a logarithmic number of points, with limits as dashed lines.</summary>
    public static void OverPoints(
        string path, string title, string yTitle, double low, double high, double[] limits, params (string Name, (int Points, double Value)[] Curve)[] curves)
    {
        using var plot = new Plot();
        foreach ((string name, (int Points, double Value)[] curve) in curves)
        {
            var line = plot.Add.Scatter(
                curve.Select(place => Math.Log10(place.Points)).ToArray(), curve.Select(place => place.Value).ToArray());
            line.LegendText = name;
            line.LineWidth = 2;
            line.MarkerSize = 6;
        }

        foreach (double limit in limits)
        {
            plot.Add.HorizontalLine(limit, 1, Colors.Gray, LinePattern.Dashed);
        }

        int[] ticks = [2, 3, 5, 10, 30, 100, 300, 1000];
        plot.Axes.Bottom.SetTicks(
            [.. ticks.Select(tick => Math.Log10(tick))], [.. ticks.Select(tick => tick.ToString(System.Globalization.CultureInfo.InvariantCulture))]);
        plot.Axes.SetLimitsY(low, high);
        Finish(plot, path, title, "points", yTitle);
    }

    /// <summary>Two bars for each of some cases.</summary>
    public static void Bars(string path, string title, string yTitle, string[] cases, (string Name, double[] Values)[] series)
    {
        using var plot = new Plot();
        for (int s = 0; s < series.Length; s++)
        {
            double shift = (s - ((series.Length - 1) / 2.0)) * 0.35;
            var bars = plot.Add.Bars(
                [.. Enumerable.Range(0, cases.Length).Select(i => i + shift)], series[s].Values);
            bars.LegendText = series[s].Name;
            foreach (Bar bar in bars.Bars)
            {
                bar.Size = 0.33;
            }
        }

        plot.Axes.Bottom.SetTicks([.. Enumerable.Range(0, cases.Length).Select(i => (double)i)], cases);
        plot.Axes.Margins(bottom: 0, top: 0.3);
        Finish(plot, path, title, "", yTitle);
    }

    private static void Finish(Plot plot, string path, string title, string xTitle, string yTitle)
    {
        plot.Title(title);
        plot.XLabel(xTitle);
        plot.YLabel(yTitle);
        plot.ShowLegend(Alignment.UpperRight);
        plot.SavePng(path, 900, 480);
    }
}
