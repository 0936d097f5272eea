using System.Globalization;
using System.Xml.Linq;
using DriftWatch.Charts.Content;

namespace DriftWatch.Charts.Drawing;

/// <summary>Makes the drawn SVG a document that scales, has a name for readers who cannot see it, and does without our font.</summary>
internal static class SvgFinish
{
    public static string Apply(string svg, ChartContent content, ChartStyle style)
    {
        var document = XDocument.Parse(svg);
        var root = document.Root ?? throw new InvalidOperationException("The drawing has no root element.");
        var space = root.Name.Namespace;
        root.SetAttributeValue("viewBox", string.Create(CultureInfo.InvariantCulture, $"0 0 {style.WidthPx} {style.HeightPx}"));
        root.SetAttributeValue("role", "img");
        root.AddFirst(
            new XElement(space + "title", $"{content.Heading}, {content.AsOf}"),
            new XElement(space + "desc", string.Join(" ", content.Figures.Prepend(content.Subheading))));
        foreach (var text in root.Descendants(space + "text"))
        {
            text.Value = text.Value.Trim();
            if (text.Attribute("font-family") is { } family)
            {
                family.Value = $"'{family.Value}', sans-serif";
            }
        }

        Renumber(root, content.VesselId);
        return document.ToString(SaveOptions.DisableFormatting);
    }

    // The drawing library counts ids through the life of the process; the same chart shall give the same document, and
    // charts of several vessels shall stand on one page.
    private static void Renumber(XElement root, string vesselId)
    {
        var renamed = root.Descendants().Attributes("id").Select((a, n) => (a, New: $"{vesselId}-{n}")).ToDictionary(p => p.a.Value, p => p.New);
        foreach (var attribute in root.Descendants().Attributes())
        {
            if (attribute.Name.LocalName == "id")
            {
                attribute.Value = renamed[attribute.Value];
            }
            else if (attribute.Value.StartsWith("url(#", StringComparison.Ordinal))
            {
                attribute.Value = $"url(#{renamed[attribute.Value[5..^1]]})";
            }
        }
    }
}
