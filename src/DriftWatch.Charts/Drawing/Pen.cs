using ScottPlot;
using SkiaSharp;

namespace DriftWatch.Charts.Drawing;

/// <summary>Lettering and small strokes on a canvas, in px.</summary>
internal sealed class Pen(SKCanvas canvas)
{
    /// <summary>Smallest lettering of a chart, px.</summary>
    public const float Small = 12;

    public static float Width(string text, float size, bool bold = false)
    {
        using var font = Font(text, size, bold);
        return font.MeasureText(text);
    }

    /// <summary>The text, or its beginning with an ellipsis where it is wider than allowed.</summary>
    public static string Fitted(string text, float size, bool bold, float widest)
    {
        if (Width(text, size, bold) <= widest)
        {
            return text;
        }

        var length = text.Length;
        while (length > 0 && Width(text[..length].TrimEnd() + "…", size, bold) > widest)
        {
            length -= char.IsLowSurrogate(text[length - 1]) && length > 1 ? 2 : 1;
        }

        return text[..length].TrimEnd() + "…";
    }

    public void Write(string text, float x, float baseline, Color colour, float size = Small, bool bold = false, SKTextAlign align = SKTextAlign.Left)
    {
        using var font = Font(text, size, bold);
        using SKPaint paint = new() { Color = colour.ToSKColor(), IsAntialias = true };
        canvas.DrawText(text, x, baseline, align, font, paint);
    }

    /// <summary>Writes on a patch of paper, so that marks beneath do not run through the letters.</summary>
    public void WriteOnPatch(string text, float x, float baseline, Color colour, float size = Small, bool bold = false)
    {
        using SKPaint patch = new() { Color = Ink.Paper.WithAlpha(.85).ToSKColor() };
        canvas.DrawRect(new SKRect(x - 3, baseline - size, x + Width(text, size, bold) + 3, baseline + (0.35f * size)), patch);
        Write(text, x, baseline, colour, size, bold);
    }

    /// <summary>Writes upwards, centred on a point.</summary>
    public void WriteUpwards(string text, float x, float middle, Color colour, float size)
    {
        canvas.Save();
        canvas.Translate(x, middle);
        canvas.RotateDegrees(-90);
        Write(text, 0, 0, colour, size, align: SKTextAlign.Center);
        canvas.Restore();
    }

    public void Line(float x1, float y1, float x2, float y2, Color colour, float width, LinePattern? pattern = null)
    {
        using SKPaint paint = new() { Color = colour.ToSKColor(), StrokeWidth = width, IsStroke = true, IsAntialias = true };
        using var effect = pattern is { } dashes ? SKPathEffect.CreateDash(dashes.Intervals, dashes.Phase) : null;
        paint.PathEffect = effect;
        canvas.DrawLine(x1, y1, x2, y2, paint);
    }

    public void Box(float left, float top, float right, float bottom, Color colour)
    {
        using SKPaint paint = new() { Color = colour.ToSKColor(), IsAntialias = true };
        canvas.DrawRect(new SKRect(left, top, right, bottom), paint);
    }

    /// <summary>A mark in the same shapes as in the plot; a filled one has no outline.</summary>
    public void Mark(MarkerShape shape, float x, float y, float size, Color colour)
    {
        using SKPaint paint = new() { Color = colour.ToSKColor(), IsAntialias = true, StrokeWidth = 1.5f };
        var half = size / 2;
        using SKPath path = new();
        switch (shape)
        {
            case MarkerShape.FilledCircle:
                path.AddCircle(x, y, half);
                break;
            case MarkerShape.OpenDiamond:
            case MarkerShape.FilledDiamond:
                Polygon(path, (x, y - half), (x + half, y), (x, y + half), (x - half, y));
                paint.IsStroke = shape == MarkerShape.OpenDiamond;
                break;
            case MarkerShape.OpenSquare:
                path.AddRect(new SKRect(x - half, y - half, x + half, y + half));
                paint.IsStroke = true;
                break;
            case MarkerShape.OpenTriangleUp:
                Polygon(path, (x, y - half), (x + half, y + half), (x - half, y + half));
                paint.IsStroke = true;
                break;
            case MarkerShape.OpenTriangleDown:
                Polygon(path, (x, y + half), (x + half, y - half), (x - half, y - half));
                paint.IsStroke = true;
                break;
            case MarkerShape.Eks:
                path.MoveTo(x - half, y - half);
                path.LineTo(x + half, y + half);
                path.MoveTo(x - half, y + half);
                path.LineTo(x + half, y - half);
                paint.IsStroke = true;
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(shape), shape, "The chart has no such mark.");
        }

        canvas.DrawPath(path, paint);
    }

    // One font for measuring and writing: without subpixel places advances are rounded, and long lines outgrow their measure.
    private static SKFont Font(string text, float size, bool bold) =>
        new(ChartFonts.For(text, bold), size) { Subpixel = true, Hinting = SKFontHinting.Slight };

    private static void Polygon(SKPath path, params ReadOnlySpan<(float X, float Y)> corners)
    {
        path.MoveTo(corners[0].X, corners[0].Y);
        foreach (var (x, y) in corners[1..])
        {
            path.LineTo(x, y);
        }

        path.Close();
    }
}
