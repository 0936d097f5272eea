namespace DriftWatch.Charts.Sheets;

/// <summary>
/// A paper for people: the same content as a PDF and as a page that prints well. Numbers carry their units, dates are
/// year-month-day in UTC, so that a printed sheet means the same to everybody who reads it. Immutable, thread-safe.
/// </summary>
public sealed class Sheet
{
    internal Sheet(string title, string subtitle, DateTimeOffset asOf, IReadOnlyList<SheetPart> parts)
    {
        Title = title;
        Subtitle = subtitle;
        AsOf = asOf;
        Parts = parts;
    }

    /// <summary>Language of the text, BCP 47.</summary>
    public static string Language => "en";

    /// <summary>What it is and of what.</summary>
    public string Title { get; }

    /// <summary>What stands under the title.</summary>
    public string Subtitle { get; }

    /// <summary>The moment that it speaks of, UTC.</summary>
    public DateTimeOffset AsOf { get; }

    internal IReadOnlyList<SheetPart> Parts { get; }

    /// <summary>The sheet as PDF, A4, tagged; charts in vectors, fonts embedded.</summary>
    public byte[] ToPdf() => SheetPdf.Write(this);

    /// <summary>The sheet as an HTML document that prints well.</summary>
    /// <param name="styleAddress">Address of the style sheet; null to carry it inside, for a file that stands alone.</param>
    /// <param name="iconAddress">Address of an SVG icon; null for none.</param>
    public string ToHtml(string? styleAddress = null, string? iconAddress = null) => SheetHtml.Write(this, styleAddress, iconAddress);
}
