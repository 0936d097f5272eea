using System.Text;
using DriftWatch.Charts.Content;
using SkiaSharp;

namespace DriftWatch.Charts.Drawing;

/// <summary>Puts plot and lettering on a canvas.</summary>
internal static class ChartPainter
{
    public static byte[] Png(ChartContent content, ChartStyle style)
    {
        SKImageInfo info = new(style.WidthPx, style.HeightPx, SKColorType.Rgba8888, SKAlphaType.Premul);
        using var surface = SKSurface.Create(info)
            ?? throw new InvalidOperationException($"No memory for a chart of {style.WidthPx} x {style.HeightPx} px; ask for a smaller one.");
        Paint(surface.Canvas, content, style);
        using var image = surface.Snapshot();
        using var data = image.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    public static string Svg(ChartContent content, ChartStyle style)
    {
        using MemoryStream stream = new();
        using (var canvas = SKSvgCanvas.Create(new SKRect(0, 0, style.WidthPx, style.HeightPx), stream))
        {
            Paint(canvas, content, style);
        }

        return SvgFinish.Apply(Encoding.UTF8.GetString(stream.ToArray()), content, style);
    }

    public static byte[] Pdf(ChartContent content, ChartStyle style)
    {
        using MemoryStream stream = new();
        using (var document = SKDocument.CreatePdf(stream))
        {
            var canvas = document.BeginPage(style.WidthPx, style.HeightPx);
            Paint(canvas, content, style);
            document.EndPage();
            document.Close();
        }

        return stream.ToArray();
    }

    private static void Paint(SKCanvas canvas, ChartContent content, ChartStyle style)
    {
        ChartLayout layout = new(content, style);
        using var plot = ChartPlot.Make(content, layout);
        plot.Render(canvas, style.WidthPx, style.HeightPx);
        new ChartLettering(content, layout, canvas).Draw();
    }
}
