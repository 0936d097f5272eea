using PdfSharp.UniversalAccessibility;

namespace DriftWatch.Charts.Sheets;

/// <summary>A strip across a page: as high as it says, drawn wherever it comes to stand.</summary>
/// <param name="Height">Height, pt.</param>
/// <param name="Draw">Draws it with its top at the given place, pt.</param>
internal sealed record PdfStrip(double Height, Action<PdfPen, double> Draw)
{
    /// <summary>Whether it must not stand at the foot of a page, parted from what follows.</summary>
    public bool KeepsNext { get; init; }

    /// <summary>Elements of the document's structure that begin before it, the outermost first.</summary>
    public IReadOnlyList<Action<StructureBuilder>> Opens { get; init; } = [];

    /// <summary>How many elements of the structure end after it.</summary>
    public int Closes { get; init; }

    /// <summary>What is drawn again above it when it begins a page: the head of its table.</summary>
    public PdfStrip? Head { get; init; }

    public static PdfStrip Space(double height) => new(height, (_, _) => { });
}
