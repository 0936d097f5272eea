using PdfSharp.Drawing;
using PdfSharp.UniversalAccessibility;

namespace DriftWatch.Charts.Sheets;

/// <summary>Draws on one page of a tagged document: text belongs to the structure, rules and frames are only decoration.</summary>
internal sealed class PdfPen(XGraphics graphics, StructureBuilder structure)
{
    public static XColor Ink { get; } = XColor.FromArgb(0x1d, 0x27, 0x2d);

    public static XColor Quiet { get; } = XColor.FromArgb(0x56, 0x63, 0x6c);

    public static XColor Rule { get; } = XColor.FromArgb(0xa9, 0xb7, 0xbf);

    public static XColor Ground { get; } = XColor.FromArgb(0xf0, 0xf3, 0xf4);

    /// <summary>Lines of text as one element.</summary>
    public void Text(PdfBlockLevelElementTag tag, IReadOnlyList<string> lines, XFont font, double x, double top, XColor? colour = null) =>
        Element(builder => builder.BeginElement(tag), () => Lines(lines, font, x, top, colour ?? Ink));

    /// <summary>Text that every page repeats, such as its number.</summary>
    public void Repeated(string text, XFont font, double x, double top, bool right = false) => Decoration(() =>
        graphics.DrawString(text, font, new XSolidBrush(Quiet), x, top + font.Size, right ? XStringFormats.BaseLineRight : XStringFormats.BaseLineLeft));

    public void Line(double x1, double y1, double x2, double y2, double width = 0.5) =>
        Decoration(() => graphics.DrawLine(new XPen(Rule, width), x1, y1, x2, y2));

    public void Box(double left, double top, double width, double height, bool filled = false) => Decoration(() =>
    {
        if (filled)
        {
            graphics.DrawRectangle(new XSolidBrush(Ground), left, top, width, height);
        }
        else
        {
            graphics.DrawRectangle(new XPen(Quiet, 0.8), left, top, width, height);
        }
    });

    /// <summary>A picture with the words that stand for it.</summary>
    public void Figure(XImage picture, XRect place, string spoken) =>
        Element(builder => builder.BeginElement(PdfIllustrationElementTag.Figure, spoken, place), () => graphics.DrawImage(picture, place));

    public void Element(Action<StructureBuilder> begin, Action draw)
    {
        begin(structure);
        draw();
        structure.End();
    }

    public void Decoration(Action draw)
    {
        structure.BeginArtifact();
        draw();
        structure.End();
    }

    private void Lines(IReadOnlyList<string> lines, XFont font, double x, double top, XColor colour)
    {
        var brush = new XSolidBrush(colour);
        for (var n = 0; n < lines.Count; n++)
        {
            // A blank at the end of a line keeps its last word apart from the next one for who reads the structure.
            graphics.DrawString(n < lines.Count - 1 ? lines[n] + " " : lines[n], font, brush, x, top + font.Size + (n * font.Size * PdfLettering.Leading));
        }
    }
}
