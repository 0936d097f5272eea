using ScottPlot;

namespace DriftWatch.Charts.Drawing;

/// <summary>
/// The few tones of a chart, from light to dark. They differ in lightness first, so that a black-and-white print keeps
/// them apart.
/// </summary>
internal static class Ink
{
    public static Color Paper { get; } = Color.FromHex("#ffffff");

    public static Color Grid { get; } = Color.FromHex("#e7eaec");

    public static Color Band { get; } = Color.FromHex("#cfdbe0");

    public static Color LightBar { get; } = Color.FromHex("#a9b7bf");

    public static Color Past { get; } = Color.FromHex("#8a98a1");

    public static Color Quiet { get; } = Color.FromHex("#56636c");

    public static Color Limit { get; } = Color.FromHex("#7a3b1e");

    public static Color Trend { get; } = Color.FromHex("#14506b");

    public static Color Text { get; } = Color.FromHex("#1d272d");
}
