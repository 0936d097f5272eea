using System.Globalization;
using DriftWatch.Plant.Safety;
using PdfSharp.Drawing;
using PdfSharp.UniversalAccessibility;

namespace DriftWatch.Charts.Sheets;

/// <summary>Turns the parts of a sheet into strips for a page of this width.</summary>
internal sealed class PdfStrips(XGraphics measure, double left, double width)
{
    private const double Size = 9.5;
    private const double Indent = 20;
    private const double Pad = 5;

    private static readonly XFont Body = PdfLettering.Font(Size);
    private static readonly XFont Strong = PdfLettering.Font(Size, bold: true);
    private static readonly XFont Small = PdfLettering.Font(8.5);
    private static readonly XFont SmallStrong = PdfLettering.Font(8.5, bold: true);
    private static readonly XFont Second = PdfLettering.Font(12, bold: true);
    private static readonly XFont First = PdfLettering.Font(17, bold: true);

    /// <summary>All strips of a sheet, in order.</summary>
    public IReadOnlyList<PdfStrip> Of(Sheet sheet)
    {
        List<PdfStrip> strips =
        [
            Written(PdfBlockLevelElementTag.Heading1, sheet.Title, First, 0) with { KeepsNext = true },
            Written(PdfBlockLevelElementTag.Paragraph, sheet.Subtitle, Body, 0),
            PdfStrip.Space(8),
        ];
        strips.AddRange(sheet.Parts.SelectMany(Of));
        return strips;
    }

    private IEnumerable<PdfStrip> Of(SheetPart part) => part switch
    {
        SheetPart.Heading heading => [PdfStrip.Space(9), Written(PdfBlockLevelElementTag.Heading2, heading.Text, Second, 3) with { KeepsNext = true }],
        SheetPart.Paragraph paragraph => [Written(PdfBlockLevelElementTag.Paragraph, paragraph.Text, Body, 4)],
        SheetPart.Answer answer => Answer(answer),
        SheetPart.Facts facts => Facts(facts),
        SheetPart.Steps steps => Items(steps.Lines, numbered: true),
        SheetPart.Bullets bullets => Items(bullets.Lines, numbered: false),
        SheetPart.Grid grid => Grid(grid),
        SheetPart.Picture picture => [Picture(picture), PdfStrip.Space(6)],
        SheetPart.Cautions => Cautions(),
        SheetPart.Blanks blanks => blanks.Names.Select(Blank),
        _ => throw new ArgumentOutOfRangeException(nameof(part), part, "The sheet has no strip for this part."),
    };

    private PdfStrip Written(PdfBlockLevelElementTag tag, string text, XFont font, double after)
    {
        var lines = PdfLettering.Lines(measure, text, font, width);
        return new PdfStrip(Height(lines, font) + after, (pen, top) => pen.Text(tag, lines, font, left, top));
    }

    private IEnumerable<PdfStrip> Answer(SheetPart.Answer answer)
    {
        var head = PdfLettering.Lines(measure, $"{answer.Words}: {answer.When}", Second, width - (3 * Pad));
        var reason = PdfLettering.Lines(measure, answer.Reason, Body, width - (3 * Pad));
        var headHeight = Height(head, Second);
        var height = headHeight + Height(reason, Body) + (2 * Pad);
        yield return new PdfStrip(height, (pen, top) =>
        {
            pen.Box(left, top, width, height, filled: true);
            pen.Box(left, top, width, height);
            pen.Text(PdfBlockLevelElementTag.Paragraph, head, Second, left + (1.5 * Pad), top + Pad - 1);
            pen.Text(PdfBlockLevelElementTag.Paragraph, reason, Body, left + (1.5 * Pad), top + Pad + headHeight);
        });
        yield return PdfStrip.Space(8);
    }

    private IEnumerable<PdfStrip> Facts(SheetPart.Facts facts)
    {
        const double NameShare = 0.28;
        return Rows(
            [.. facts.Lines.Select(line => (IReadOnlyList<string>)[line.Name, line.Value])], [NameShare, 1 - NameShare], null, Body, firstStrong: true)
            .Append(PdfStrip.Space(6));
    }

    private IEnumerable<PdfStrip> Grid(SheetPart.Grid grid) =>
        Rows(grid.Rows, grid.Shares, grid.Heads, Small, firstStrong: false)
            .Prepend(Written(PdfBlockLevelElementTag.Paragraph, grid.Caption, Small, 3) with { KeepsNext = true })
            .Append(PdfStrip.Space(6));

    private List<PdfStrip> Rows(
        IReadOnlyList<IReadOnlyList<string>> rows, IReadOnlyList<double> shares, IReadOnlyList<string>? heads, XFont font, bool firstStrong)
    {
        var head = heads is null ? null : Row(heads, shares, SmallStrong, firstStrong: true, PdfBlockLevelElementTag.TableHeaderCell);
        List<PdfStrip> strips = head is null ? [] : [head with { KeepsNext = true }];

        // The structure has the head once; on later pages it is only decoration.
        var again = heads is null ? null : Repeat(heads, shares);
        strips.AddRange(rows.Select(row => Row(row, shares, font, firstStrong, PdfBlockLevelElementTag.TableDataCell) with { Head = again }));
        if (strips.Count > 0)
        {
            strips[0] = strips[0] with { Opens = [builder => builder.BeginElement(PdfBlockLevelElementTag.Table)] };
            strips[^1] = strips[^1] with { Closes = 1 };
        }

        return strips;
    }

    private PdfStrip Row(
        IReadOnlyList<string> cells, IReadOnlyList<double> shares, XFont font, bool firstStrong, PdfBlockLevelElementTag tag)
    {
        var laid = Cells(cells, shares, font, firstStrong);
        var height = laid.Max(cell => Height(cell.Lines, cell.Font)) + 4;
        return new PdfStrip(height, (pen, top) =>
        {
            pen.Element(builder => builder.BeginElement(PdfBlockLevelElementTag.TableRow), () =>
            {
                for (var n = 0; n < laid.Count; n++)
                {
                    var isHead = tag == PdfBlockLevelElementTag.TableHeaderCell || (firstStrong && n == 0);
                    pen.Text(isHead ? PdfBlockLevelElementTag.TableHeaderCell : tag, laid[n].Lines, laid[n].Font, laid[n].X, top + 1);
                }
            });
            pen.Line(left, top + height - 1, left + width, top + height - 1, tag == PdfBlockLevelElementTag.TableHeaderCell ? 1 : 0.4);
        });
    }

    private PdfStrip Repeat(IReadOnlyList<string> heads, IReadOnlyList<double> shares)
    {
        var laid = Cells(heads, shares, SmallStrong, firstStrong: true);
        var height = laid.Max(cell => Height(cell.Lines, cell.Font)) + 4;
        return new PdfStrip(height, (pen, top) =>
        {
            foreach (var (lines, font, x) in laid)
            {
                for (var n = 0; n < lines.Count; n++)
                {
                    pen.Repeated(lines[n], font, x, top + 1 + (n * font.Size * PdfLettering.Leading));
                }
            }

            pen.Line(left, top + height - 1, left + width, top + height - 1, 1);
        });
    }

    private List<(IReadOnlyList<string> Lines, XFont Font, double X)> Cells(
        IReadOnlyList<string> cells, IReadOnlyList<double> shares, XFont font, bool firstStrong)
    {
        List<(IReadOnlyList<string> Lines, XFont Font, double X)> laid = [];
        var x = left;
        for (var n = 0; n < cells.Count; n++)
        {
            var own = firstStrong && n == 0 && ReferenceEquals(font, Body) ? Strong : font;
            laid.Add((PdfLettering.Lines(measure, cells[n], own, (shares[n] * width) - 6), own, x));
            x += shares[n] * width;
        }

        return laid;
    }

    private IEnumerable<PdfStrip> Items(IReadOnlyList<string> texts, bool numbered)
    {
        for (var n = 0; n < texts.Count; n++)
        {
            var lines = PdfLettering.Lines(measure, texts[n], Body, width - Indent - (numbered ? Indent : 0));
            var label = numbered ? string.Create(CultureInfo.InvariantCulture, $"{n + 1}.") : "•";
            yield return new PdfStrip(Height(lines, Body) + 3, (pen, top) =>
            {
                var x = left;
                if (numbered)
                {
                    pen.Box(x + 1, top + 2, 9, 9);
                    x += Indent;
                }

                pen.Element(builder => builder.BeginElement(PdfBlockLevelElementTag.ListItem), () =>
                {
                    pen.Text(PdfBlockLevelElementTag.Label, [label], Body, x, top);
                    pen.Text(PdfBlockLevelElementTag.ListBody, lines, Body, x + Indent, top);
                });
            })
            {
                Opens = n == 0 ? [builder => builder.BeginElement(PdfBlockLevelElementTag.List)] : [],
                Closes = n == texts.Count - 1 ? 1 : 0,
            };
        }

        yield return PdfStrip.Space(4);
    }

    /// <summary>One frame around all of them: a page break does not part them.</summary>
    private IEnumerable<PdfStrip> Cautions()
    {
        const string Heading = "Before any work on the vessel";
        var lines = SafetyLines.All.Select(line => PdfLettering.Lines(measure, line, Body, width - Indent - (3 * Pad))).ToList();
        var headHeight = (Second.Size * PdfLettering.Leading) + 2;
        var height = headHeight + lines.Sum(line => Height(line, Body) + 2) + (2 * Pad);
        yield return PdfStrip.Space(6);
        yield return new PdfStrip(height, (pen, top) =>
        {
            pen.Box(left, top, width, height);
            pen.Box(left + 1.5, top + 1.5, width - 3, height - 3);
            pen.Text(PdfBlockLevelElementTag.Heading2, [Heading], Second, left + (1.5 * Pad), top + Pad - 1);
            pen.Element(builder => builder.BeginElement(PdfBlockLevelElementTag.List), () =>
            {
                var y = top + Pad + headHeight;
                foreach (var line in lines)
                {
                    pen.Element(builder => builder.BeginElement(PdfBlockLevelElementTag.ListItem), () =>
                    {
                        pen.Text(PdfBlockLevelElementTag.Label, ["!"], Strong, left + (2 * Pad), y);
                        pen.Text(PdfBlockLevelElementTag.ListBody, line, Body, left + Indent, y);
                    });
                    y += Height(line, Body) + 2;
                }
            });
        });
        yield return PdfStrip.Space(6);
    }

    private PdfStrip Picture(SheetPart.Picture picture)
    {
        var drawn = XPdfForm.FromStream(new MemoryStream(picture.Chart.ToPdf()));
        var height = width * drawn.PointHeight / drawn.PointWidth;
        return new PdfStrip(height, (pen, top) => pen.Figure(drawn, new XRect(left, top, width, height), picture.Spoken));
    }

    private PdfStrip Blank(string name)
    {
        var lines = PdfLettering.Lines(measure, name, Body, 0.45 * width);
        var height = Math.Max(24, Height(lines, Body) + 8);
        return new PdfStrip(height, (pen, top) =>
        {
            pen.Text(PdfBlockLevelElementTag.Paragraph, lines, Body, left, top + height - Height(lines, Body) - 2);
            pen.Line(left + (0.48 * width), top + height - 3, left + width, top + height - 3, 0.8);
        });
    }

    private static double Height(IReadOnlyList<string> lines, XFont font) => lines.Count * font.Size * PdfLettering.Leading;
}
