using System.Globalization;
using System.Net;
using System.Text;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Charts.Sheets;

/// <summary>Writes a sheet as an HTML document of its own.</summary>
internal static class SheetHtml
{
    private const string StyleResource = "sheet.css";

    public static string Write(Sheet sheet, string? styleAddress, string? iconAddress)
    {
        using StringWriter html = new(CultureInfo.InvariantCulture) { NewLine = "\n" };
        html.Write(
            $"""
            <!DOCTYPE html>
            <html lang="{Sheet.Language}">
            <head>
            <meta charset="utf-8" />
            <meta name="viewport" content="width=device-width, initial-scale=1" />
            <title>{Text(sheet.Title)}</title>
            {(styleAddress is null ? $"<style>{Style()}</style>" : $"<link rel=\"stylesheet\" href=\"{Text(styleAddress)}\" />")}
            {(iconAddress is null ? "" : $"<link rel=\"icon\" type=\"image/svg+xml\" href=\"{Text(iconAddress)}\" />")}
            </head>
            <body class="sheet">
            <main>
            <h1>{Text(sheet.Title)}</h1>
            <p class="subtitle">{Text(sheet.Subtitle)}</p>

            """);
        foreach (var part in sheet.Parts)
        {
            Write(html, part);
        }

        html.Write(
            $"""
            </main>
            <footer><p>As of {SheetTexts.Moment(sheet.AsOf)}. DriftWatch advises; it does not certify that a vessel is fit for use.</p></footer>
            </body>
            </html>

            """);
        return html.ToString();
    }

    private static void Write(StringWriter html, SheetPart part)
    {
        switch (part)
        {
            case SheetPart.Heading heading:
                html.WriteLine($"<h2>{Text(heading.Text)}</h2>");
                break;
            case SheetPart.Paragraph paragraph:
                html.WriteLine($"<p>{Text(paragraph.Text)}</p>");
                break;
            case SheetPart.Answer answer:
                html.WriteLine($"<div class=\"said\"><p><b>{Text(answer.Words)}</b>: {Text(answer.When)}</p><p>{Text(answer.Reason)}</p></div>");
                break;
            case SheetPart.Facts facts:
                html.WriteLine("<dl>");
                foreach (var (name, value) in facts.Lines)
                {
                    html.WriteLine($"<div><dt>{Text(name)}</dt><dd>{Text(value)}</dd></div>");
                }

                html.WriteLine("</dl>");
                break;
            case SheetPart.Steps steps:
                List(html, "ol class=\"steps\"", "ol", steps.Lines);
                break;
            case SheetPart.Bullets bullets:
                List(html, "ul", "ul", bullets.Lines);
                break;
            case SheetPart.Grid grid:
                Table(html, grid);
                break;
            case SheetPart.Picture picture:
                html.WriteLine($"<figure role=\"img\" aria-label=\"{Text(picture.Spoken)}\">{picture.Chart.ToSvg()}</figure>");
                break;
            case SheetPart.Cautions:
                html.WriteLine("<section class=\"warned\" aria-label=\"Cautions\"><h2>Before any work on the vessel</h2>");
                List(html, "ul", "ul", SafetyLines.All);
                html.WriteLine("</section>");
                break;
            case SheetPart.Blanks blanks:
                html.WriteLine("<ul class=\"blanks\">");
                foreach (var name in blanks.Names)
                {
                    html.WriteLine($"<li><span>{Text(name)}</span><span class=\"rule\"></span></li>");
                }

                html.WriteLine("</ul>");
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(part), part, "The page has no form for this part.");
        }
    }

    private static void List(StringWriter html, string open, string close, IReadOnlyList<string> lines)
    {
        html.WriteLine($"<{open}>");
        foreach (var line in lines)
        {
            html.WriteLine($"<li>{Text(line)}</li>");
        }

        html.WriteLine($"</{close}>");
    }

    private static void Table(StringWriter html, SheetPart.Grid grid)
    {
        html.WriteLine($"<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"{Text(grid.Caption)}\"><table><caption>{Text(grid.Caption)}</caption><thead><tr>");
        foreach (var head in grid.Heads)
        {
            html.Write($"<th scope=\"col\">{Text(head)}</th>");
        }

        html.WriteLine("</tr></thead><tbody>");
        foreach (var row in grid.Rows)
        {
            html.Write("<tr>");
            foreach (var cell in row)
            {
                html.Write($"<td>{Text(cell)}</td>");
            }

            html.WriteLine("</tr>");
        }

        html.WriteLine("</tbody></table></div>");
    }

    private static string Style()
    {
        using var stream = typeof(SheetHtml).Assembly.GetManifestResourceStream(StyleResource)
            ?? throw new InvalidOperationException($"The assembly does not hold {StyleResource}; it was built without Sheets/{StyleResource}.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }

    private static string Text(string text) => WebUtility.HtmlEncode(text);
}
