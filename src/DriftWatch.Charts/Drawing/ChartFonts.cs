using SkiaSharp;

namespace DriftWatch.Charts.Drawing;

/// <summary>
/// The typefaces that travel with the assembly: a server may have no font at all, and then nothing would be written.
/// Typefaces are immutable and shared between threads.
/// </summary>
internal static class ChartFonts
{
    public static SKTypeface Regular { get; } = Load("OpenSans-Regular.ttf");

    public static SKTypeface SemiBold { get; } = Load("OpenSans-SemiBold.ttf");

    /// <summary>The embedded face, or an installed one where the text has signs that the embedded one lacks.</summary>
    public static SKTypeface For(string text, bool bold)
    {
        var own = bold ? SemiBold : Regular;
        foreach (var rune in text.EnumerateRunes())
        {
            if (own.GetGlyph(rune.Value) == 0)
            {
                return SKFontManager.Default.MatchCharacter(rune.Value) ?? own;
            }
        }

        return own;
    }

    private static SKTypeface Load(string resource)
    {
        using var stream = typeof(ChartFonts).Assembly.GetManifestResourceStream(resource)
            ?? throw new InvalidOperationException($"The assembly does not hold its font {resource}; it was built without Fonts/{resource}.");
        return SKTypeface.FromStream(stream)
            ?? throw new InvalidOperationException($"The font {resource} in the assembly cannot be read; restore Fonts/{resource} and build again.");
    }
}
