using PdfSharp;
using PdfSharp.Drawing;
using PdfSharp.Pdf;
using PdfSharp.UniversalAccessibility;

namespace DriftWatch.Charts.Sheets;

/// <summary>Writes a sheet as tagged PDF, A4 upright.</summary>
internal static class SheetPdf
{
    private const double Width = 595.28;
    private const double Height = 841.89;
    private const double Margin = 48;
    private const double FootRoom = 26;

    public static byte[] Write(Sheet sheet)
    {
        using var document = new PdfDocument();
        document.Info.Title = sheet.Title;
        document.Info.Subject = sheet.Subtitle;
        document.Info.Creator = "DriftWatch";
        document.Info.CreationDate = sheet.AsOf.UtcDateTime;
        document.Language = Sheet.Language;
        document.ViewerPreferences.DisplayDocTitle = true;
        StructureBuilder structure = UAManager.ForDocument(document).StructureBuilder;
        var measure = XGraphics.CreateMeasureContext(new XSize(Width, Height), XGraphicsUnit.Point, XPageDirection.Downwards);
        List<IReadOnlyList<PdfStrip>> pages = Pages(new PdfStrips(measure, Margin, Width - (2 * Margin)).Of(sheet));
        for (var n = 0; n < pages.Count; n++)
        {
            PdfPage page = document.AddPage();
            page.Size = PageSize.A4;
            using XGraphics graphics = XGraphics.FromPdfPage(page);
            Draw(new PdfPen(graphics, structure), structure, sheet, pages[n], n + 1, pages.Count);
        }

        using MemoryStream stream = new();
        document.Save(stream);
        return stream.ToArray();
    }

    private static void Draw(PdfPen pen, StructureBuilder structure, Sheet sheet, IReadOnlyList<PdfStrip> strips, int number, int count)
    {
        var top = Margin;
        foreach (PdfStrip strip in strips)
        {
            foreach (var open in strip.Opens)
            {
                open(structure);
            }

            strip.Draw(pen, top);
            for (var n = 0; n < strip.Closes; n++)
            {
                structure.End();
            }

            top += strip.Height;
        }

        XFont small = PdfLettering.Font(8);
        var foot = Height - Margin + 4;
        pen.Line(Margin, foot - 5, Width - Margin, foot - 5);
        pen.Repeated($"{sheet.Title}. As of {SheetTexts.Moment(sheet.AsOf)}. DriftWatch advises; it does not certify.", small, Margin, foot);
        pen.Repeated($"Page {number} of {count}", small, Width - Margin, foot, right: true);
    }

    private static List<IReadOnlyList<PdfStrip>> Pages(IReadOnlyList<PdfStrip> strips)
    {
        const double Room = Height - (2 * Margin) - FootRoom + 14;
        List<IReadOnlyList<PdfStrip>> pages = [];
        List<PdfStrip> page = [];
        double used = 0;
        for (var n = 0; n < strips.Count; n++)
        {
            var needed = strips[n].Height;
            for (var next = n; strips[next].KeepsNext && next + 1 < strips.Count; next++)
            {
                needed += strips[next + 1].Height;
            }

            if (page.Count > 0 && used + needed > Room)
            {
                pages.Add(page);
                page = strips[n].Head is { } head ? [head] : [];
                used = page.Sum(strip => strip.Height);
            }

            page.Add(strips[n]);
            used += strips[n].Height;
        }

        pages.Add(page);
        return pages;
    }
}
