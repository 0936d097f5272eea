using System.Globalization;
using System.Xml.Linq;
using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts.Tests;

public sealed class TrendChartSvgTests
{
    [Theory]
    [MemberData(nameof(TrendChartImageTests.Cases), MemberType = typeof(TrendChartImageTests))]
    public void Labels_are_text_in_a_sans_serif_family_of_legible_size(string name)
    {
        var texts = Texts(TrendChartImageTests.Case(name).Chart());
        Assert.NotEmpty(texts);
        Assert.All(texts, text =>
        {
            Assert.EndsWith("sans-serif", (string?)text.Attribute("font-family"), StringComparison.Ordinal);
            Assert.True(double.Parse((string)text.Attribute("font-size")!, CultureInfo.InvariantCulture) >= 11);
        });
    }

    [Fact]
    public void A_falling_vessel_says_what_is_known_of_it()
    {
        var words = Texts(ChartCase.SlowLeak().Chart()).Select(t => t.Value).ToList();
        Assert.Contains("press-2-main: falling faster than allowed", words);
        Assert.Contains("as of 2025-10-01", words);
        Assert.Contains("upper limit 110 bar", words);
        Assert.Contains("lower limit 90 bar", words);
        Assert.Contains("nominal 100 bar", words);
        Assert.Contains("Precharge at 20 °C, bar gauge", words);
        Assert.Contains(words, w => w.Contains("bar/month (95 %: ", StringComparison.Ordinal));
        Assert.Contains(words, w => w.Contains("Lower limit reached 2026-", StringComparison.Ordinal));
        Assert.Contains("forecast", words);
    }

    [Fact]
    public void Charges_steps_and_windows_kept_out_are_named()
    {
        Assert.Contains("charge 2025-08-01", Words(ChartCase.Recharge()));
        Assert.Contains("sudden loss 2025-09-21", Words(ChartCase.SuddenLoss()));
        Assert.Contains("step up 2027-08-21", Words(ChartCase.Years()));
        var trapped = Words(ChartCase.Trapped());
        Assert.Contains("ambiguous window, kept out (14)", trapped);
        Assert.Contains("rejected window, kept out (33)", trapped);
        Assert.Contains("outside the scale (24)", trapped);
    }

    [Theory]
    // 100 bar: 1 MPa = 10 bar and 1 bar = 100 kPa by definition; 14.503 77 psi a bar from NIST SP 811 (2008), B.8: 1 psi = 6894.757 Pa.
    [InlineData("bar", "nominal 100 bar")]
    [InlineData("MPa", "nominal 10 MPa")]
    [InlineData("kPa", "nominal 10000 kPa")]
    [InlineData("psi", "nominal 1450.4 psi")]
    public void The_axis_speaks_the_unit_of_the_plant(string symbol, string nominal) =>
        Assert.Contains(nominal, Texts(ChartCase.SlowLeak().Chart(PressureUnit.FromSymbol(symbol))).Select(t => t.Value));

    /// <summary>Two points a little apart in a row of noise: the band opens to thousands of bar within the picture's days.</summary>
    [Fact]
    public void The_band_of_a_young_trend_is_cut_where_it_leaves_the_picture()
    {
        var young = ChartCase.Case("young", ChartCase.Line(0, 0.05, 0.05, 99, 0, 0.3), [ChartCase.Segment(0, 0, SegmentCause.FirstWindow)], 40, Verdict.NotKnownYet);
        var fit = young.Assessment.Fit! with { SlopeUncertaintyPaPerSecond = 20, CoverageFactor95 = 12.7 };
        var content = ChartComposer.Compose(young.Vessel, young.Windows, young.Segments, young.Assessment with { Fit = fit }, PressureUnit.Bar);
        Assert.Contains(content.Forecast, point => point.High > 1000);
        var svg = ChartPainter.Svg(content, ChartStyle.Page);
        Assert.True(svg.Length < 200_000, $"The document has {svg.Length} characters.");
    }

    [Fact]
    public void Signs_that_XML_reserves_or_forbids_do_no_harm()
    {
        var item = ChartCase.OnePoint();
        item = item with { Vessel = item.Vessel with { Description = "Press <2> & \"main\"\u0001\u001b\n  line", Place = "Hall \uFFFF2" } };
        Assert.Contains("Press <2> & \"main\" line, Hall 2", Words(item));
    }

    [Fact]
    public void The_document_scales_and_has_a_title()
    {
        var root = XDocument.Parse(ChartCase.SlowLeak().Chart().ToSvg()).Root!;
        Assert.Equal("0 0 1200 700", (string?)root.Attribute("viewBox"));
        Assert.Equal("press-2-main: falling faster than allowed, as of 2025-10-01", root.Element(root.Name.Namespace + "title")?.Value);
    }

    private static List<string> Words(ChartCase item) => [.. Texts(item.Chart()).Select(t => t.Value)];

    private static List<XElement> Texts(TrendChart chart)
    {
        var root = XDocument.Parse(chart.ToSvg()).Root!;
        return [.. root.Descendants(root.Name.Namespace + "text")];
    }
}
