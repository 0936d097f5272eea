using ScottPlot;

namespace DriftWatch.Charts.Drawing;

/// <summary>The dash patterns of a chart, px on and off.</summary>
internal static class Dash
{
    public static LinePattern Limit { get; } = new([10, 4], 0, "limit");

    public static LinePattern Forecast { get; } = new([5, 4], 0, "forecast");

    public static LinePattern Band { get; } = new([1.5f, 3], 0, "band");

    public static LinePattern Event { get; } = new([3, 3], 0, "event");

    public static LinePattern AsOf { get; } = new([1, 3], 0, "as of");
}
