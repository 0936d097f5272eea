using DriftWatch.Charts;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Output;
using DriftWatch.Trends.Segments;

namespace DriftWatch.Host.Charting;

/// <summary>Draws the trend charts of vessels into a folder, one PNG and one SVG each.</summary>
internal static class ChartFolder
{
    public static void Draw(string folder, VesselResult result, PressureUnit unit)
    {
        Directory.CreateDirectory(folder);
        IReadOnlyList<TrendSegment> segments = result.Assessment.Segment is { } segment ? [segment] : [];
        TrendChart chart = TrendChart.Render(result.Vessel, result.Windows, segments, result.Assessment, unit: unit);
        chart.SavePng(Path.Combine(folder, result.Vessel.Id + ".png"));
        chart.SaveSvg(Path.Combine(folder, result.Vessel.Id + ".svg"));
    }
}
