namespace DriftWatch.Charts.Sheets;

/// <summary>A part of a sheet, in reading order.</summary>
internal abstract record SheetPart
{
    /// <summary>A heading; it stays with what follows.</summary>
    internal sealed record Heading(string Text) : SheetPart;

    internal sealed record Paragraph(string Text) : SheetPart;

    /// <summary>What is said of the vessel, in a box; never without its date.</summary>
    internal sealed record Answer(string Words, string When, string Reason) : SheetPart;

    internal sealed record Facts(IReadOnlyList<(string Name, string Value)> Lines) : SheetPart;

    /// <summary>Work in its order, each step with a box to tick.</summary>
    internal sealed record Steps(IReadOnlyList<string> Lines) : SheetPart;

    internal sealed record Bullets(IReadOnlyList<string> Lines) : SheetPart;

    /// <summary>A table.</summary>
    /// <param name="Caption">What it shows.</param>
    /// <param name="Heads">Head of each column.</param>
    /// <param name="Shares">Share of the width that each column has.</param>
    /// <param name="Rows">The rows, each as long as the heads.</param>
    internal sealed record Grid(
        string Caption, IReadOnlyList<string> Heads, IReadOnlyList<double> Shares, IReadOnlyList<IReadOnlyList<string>> Rows) : SheetPart;

    /// <summary>A trend chart with what it says in words, for those who cannot see it.</summary>
    internal sealed record Picture(TrendChart Chart, string Spoken) : SheetPart;

    /// <summary>The cautions that stand wherever work on a vessel is asked for.</summary>
    internal sealed record Cautions : SheetPart;

    /// <summary>Lines to write on.</summary>
    internal sealed record Blanks(IReadOnlyList<string> Names) : SheetPart;
}
