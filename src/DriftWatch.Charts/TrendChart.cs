using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts;

/// <summary>
/// The chart of one vessel: precharge at the reference temperature against time, with its trend, limits, charges and
/// forecast. It stays readable in black and white: marks differ by shape, dash and lightness. Thread-safe.
/// </summary>
public sealed class TrendChart
{
    private readonly ChartContent _content;
    private readonly ChartStyle _style;

    private TrendChart(ChartContent content, ChartStyle style)
    {
        _content = content;
        _style = style;
    }

    /// <summary>Lays out the chart of a vessel.</summary>
    /// <param name="vessel">The vessel with its limits and recorded charges.</param>
    /// <param name="windows">Its windows in any order; empty gives a chart with limits only. Windows without a finite precharge are left out.</param>
    /// <param name="segments">Its trend segments, or only the current one; their starts are drawn.</param>
    /// <param name="assessment">What is said of it.</param>
    /// <param name="style">Size; null for <see cref="ChartStyle.Page"/>.</param>
    /// <param name="unit">Unit of the pressure axis; null for bar.</param>
    public static TrendChart Render(
        Vessel vessel,
        IReadOnlyList<PrechargeWindow> windows,
        IReadOnlyList<TrendSegment> segments,
        Assessment assessment,
        ChartStyle? style = null,
        PressureUnit? unit = null)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(windows);
        ArgumentNullException.ThrowIfNull(segments);
        ArgumentNullException.ThrowIfNull(assessment);
        return new TrendChart(ChartComposer.Compose(vessel, windows, segments, assessment, unit ?? PressureUnit.Bar), style ?? ChartStyle.Page);
    }

    /// <summary>The chart as a PNG image.</summary>
    public byte[] ToPng() => ChartPainter.Png(_content, _style);

    /// <summary>The chart as an SVG document; its labels are text in a sans-serif family.</summary>
    public string ToSvg() => ChartPainter.Svg(_content, _style);

    /// <summary>The chart as a PDF of one page, in vectors with its fonts; one px is one point.</summary>
    public byte[] ToPdf() => ChartPainter.Pdf(_content, _style);

    /// <summary>Writes the PNG image; an existing file is replaced.</summary>
    public void SavePng(string path) => File.WriteAllBytes(path, ToPng());

    /// <summary>Writes the SVG document, UTF-8; an existing file is replaced.</summary>
    public void SaveSvg(string path) => File.WriteAllText(path, ToSvg());
}
