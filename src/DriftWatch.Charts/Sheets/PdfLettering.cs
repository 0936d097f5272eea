using System.Text;
using DriftWatch.Charts.Drawing;
using PdfSharp.Drawing;
using PdfSharp.Fonts;
using PdfSharp.Pdf;

namespace DriftWatch.Charts.Sheets;

/// <summary>The lettering of a PDF sheet, in points, from the fonts that travel with the assembly: a server may have none.</summary>
internal static class PdfLettering
{
    private const string Family = "Sheet";

    static PdfLettering() => GlobalFontSettings.FontResolver = new OwnFonts();

    /// <summary>Distance of lines, in sizes of the lettering.</summary>
    public const double Leading = 1.32;

    public static XFont Font(double size, bool bold = false) =>
        new(Family, size, bold ? XFontStyleEx.Bold : XFontStyleEx.Regular, new XPdfFontOptions(PdfFontEncoding.Unicode, PdfFontEmbedding.TryComputeSubset));

    /// <summary>The text in lines not wider than allowed; a word that is wider alone is broken.</summary>
    public static IReadOnlyList<string> Lines(XGraphics measure, string text, XFont font, double widest)
    {
        List<string> lines = [];
        StringBuilder line = new();
        foreach (var word in Writable(text).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var rest = word;
            if (line.Length > 0 && measure.MeasureString($"{line} {rest}", font).Width > widest)
            {
                lines.Add(line.ToString());
                line.Clear();
            }

            while (line.Length == 0 && rest.Length > 1 && measure.MeasureString(rest, font).Width > widest)
            {
                var fitting = rest.Length - 1;
                while (fitting > 1 && measure.MeasureString(rest[..fitting], font).Width > widest)
                {
                    fitting--;
                }

                lines.Add(rest[..fitting]);
                rest = rest[fitting..];
            }

            line.Append(line.Length > 0 ? " " : "").Append(rest);
        }

        lines.Add(line.ToString());
        return lines;
    }

    /// <summary>Signs that the font does not have are shown as a question mark: seen, not silently gone.</summary>
    private static string Writable(string text)
    {
        StringBuilder writable = new(text.Length);
        foreach (var rune in Content.ChartTexts.Clean(text).EnumerateRunes())
        {
            writable.Append(ChartFonts.Regular.GetGlyph(rune.Value) == 0 ? "?" : rune.ToString());
        }

        return writable.ToString();
    }

    private sealed class OwnFonts : IFontResolver
    {
        public byte[] GetFont(string faceName)
        {
            using var stream = typeof(OwnFonts).Assembly.GetManifestResourceStream(faceName)
                ?? throw new InvalidOperationException($"The assembly does not hold its font {faceName}; it was built without Fonts/{faceName}.");
            var font = new byte[stream.Length];
            stream.ReadExactly(font);
            return font;
        }

        public FontResolverInfo ResolveTypeface(string familyName, bool isBold, bool isItalic) =>
            new(isBold ? "OpenSans-SemiBold.ttf" : "OpenSans-Regular.ttf");
    }
}
