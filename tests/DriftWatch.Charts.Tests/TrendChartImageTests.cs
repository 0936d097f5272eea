using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;
using DriftWatch.Gas.Units;
using SkiaSharp;

namespace DriftWatch.Charts.Tests;

public sealed class TrendChartImageTests
{
    private const double Dark = 110;

    public static TheoryData<string> Cases => [.. ChartCase.All().Select(c => c.Name)];

    [Theory]
    [InlineData(1200, 700)]
    [InlineData(ChartStyle.LeastWidthPx, ChartStyle.LeastHeightPx)]
    [InlineData(1600, 500)]
    public void The_image_has_the_size_asked_for(int width, int height)
    {
        using var image = SKBitmap.Decode(ChartCase.SlowLeak().Chart(style: new ChartStyle(width, height)).ToPng());
        Assert.Equal((width, height), (image.Width, image.Height));
    }

    [Theory]
    [InlineData(479, 700, "widthPx")]
    [InlineData(8001, 700, "widthPx")]
    [InlineData(1200, 359, "heightPx")]
    [InlineData(1200, 8001, "heightPx")]
    public void A_size_that_holds_no_lettering_is_refused(int width, int height, string parameter) =>
        Assert.Throws<ArgumentOutOfRangeException>(parameter, () => new ChartStyle(width, height));

    [Theory]
    [MemberData(nameof(Cases))]
    public void Nothing_runs_over_the_edge_of_the_image(string name)
    {
        foreach (var style in new[] { ChartStyle.Page, new ChartStyle(640, 420) })
        {
            using var image = SKBitmap.Decode(Case(name).Chart(style: style).ToPng());
            for (var x = 0; x < image.Width; x++)
            {
                Assert.Equal(SKColors.White, image.GetPixel(x, 2));
                Assert.Equal(SKColors.White, image.GetPixel(x, image.Height - 2));
            }

            for (var y = 0; y < image.Height; y++)
            {
                Assert.Equal(SKColors.White, image.GetPixel(2, y));
                Assert.Equal(SKColors.White, image.GetPixel(image.Width - 3, y));
            }
        }
    }

    [Fact]
    public void Every_accepted_point_is_drawn_where_its_day_and_pressure_lie()
    {
        var item = ChartCase.Recharge();
        using var with = SKBitmap.Decode(item.Chart().ToPng());
        var (content, layout) = Laid(item);
        // Read off the picture by a second route: the linear scale between two labelled ticks of each axis.
        var (left, right) = (layout.TimeTicks[0], layout.TimeTicks[^1]);
        var (low, high) = (layout.PressureTicks[0], layout.PressureTicks[^1]);
        foreach (var window in item.Windows)
        {
            var day = (window.Middle - DateTimeOffset.UnixEpoch).TotalDays;
            var bar = (window.PrechargePa - ChartCase.AmbientPa) / 1e5;
            var x = layout.X(left.Position) + ((day - left.Position) / (right.Position - left.Position) * (layout.X(right.Position) - layout.X(left.Position)));
            var y = layout.Y(low.Position) + ((bar - low.Position) / (high.Position - low.Position) * (layout.Y(high.Position) - layout.Y(low.Position)));
            Assert.True(Luminance(with, x, y) < 190, $"No mark at day {day}, {bar} bar (pixel {x}, {y}).");
        }

        Assert.Equal(item.Windows.Count, content.Current.Count + content.Earlier.Count);
    }

    [Fact]
    public void A_chart_without_windows_leaves_the_plot_to_the_limits()
    {
        var item = ChartCase.NoPoints();
        using var image = SKBitmap.Decode(item.Chart().ToPng());
        var (_, layout) = Laid(item);
        Assert.True(DarkShare(image, layout, 90) > 0.4);
        Assert.True(DarkShare(image, layout, 110) > 0.4);
        Assert.Equal(0, DarkShare(image, layout, 97));
    }

    [Fact]
    public void A_window_far_above_leaves_a_mark_at_the_border_and_the_scale_alone()
    {
        var item = ChartCase.Trapped();
        using var image = SKBitmap.Decode(item.Chart().ToPng());
        var (content, layout) = Laid(item);
        Assert.InRange(layout.Pressure.High, 110, 120);
        var far = content.Rejected.First(p => p.Value > 150);
        Assert.True(Luminance(image, layout.X(far.Day), layout.Top + 2) < 200 || Luminance(image, layout.X(far.Day), layout.Top + 3) < 200);
    }

    [Fact]
    public void Tones_that_must_be_told_apart_differ_in_lightness()
    {
        // On a scale of 0 to 255; 40 is about a sixth of the way from black to white.
        double[] tones = [Grey(Ink.Text), Grey(Ink.Past), Grey(Ink.Band), Grey(Ink.Paper)];
        foreach (var (darker, lighter) in tones.Zip(tones.Skip(1)))
        {
            Assert.True(lighter - darker >= 35, $"Tones {darker} and {lighter} look alike in black and white.");
        }

        Assert.True(Grey(Ink.Past) - Grey(Ink.Text) > 80, "Points of earlier segments look like current ones.");
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Labels_of_charges_and_steps_stay_inside_and_apart(string name)
    {
        foreach (var style in new[] { ChartStyle.Page, new ChartStyle(640, 420) })
        {
            ChartLayout layout = new(Content(Case(name)), style);
            foreach (var row in layout.EventLabels.GroupBy(l => l.Row))
            {
                var spans = row.Select(l => (l.Left, Right: l.Left + Pen.Width(l.Text, ChartLayout.EventSize))).OrderBy(s => s.Left).ToList();
                Assert.All(spans, s => Assert.InRange(s.Right, layout.Left, layout.Right + 1));
                Assert.All(spans.Zip(spans.Skip(1)), pair => Assert.True(pair.First.Right < pair.Second.Left));
            }
        }
    }

    [Fact]
    public void The_embedded_fonts_have_every_sign_the_charts_write()
    {
        var signs = string.Concat(Enumerable.Range(0x20, 0x5F).Select(c => (char)c)) + "°±·…";
        Assert.All(signs, sign =>
        {
            Assert.NotEqual(0, ChartFonts.Regular.GetGlyph(sign));
            Assert.NotEqual(0, ChartFonts.SemiBold.GetGlyph(sign));
        });
        Assert.Same(ChartFonts.Regular, ChartFonts.For(signs, bold: false));
    }

    [Fact]
    public void Charts_drawn_side_by_side_do_not_disturb_each_other()
    {
        var chart = ChartCase.SlowLeak().Chart();
        var alone = chart.ToPng();
        var together = new byte[6][];
        Parallel.For(0, together.Length, n => together[n] = n % 2 == 0 ? chart.ToPng() : ChartCase.SlowLeak().Chart().ToPng());
        Assert.All(together, png => Assert.Equal(alone, png));
    }

    [Fact]
    public void The_files_hold_the_same_chart()
    {
        var folder = Directory.CreateTempSubdirectory("driftwatch-charts-");
        try
        {
            var chart = ChartCase.SlowLeak().Chart();
            var (png, svg) = (Path.Combine(folder.FullName, "a.png"), Path.Combine(folder.FullName, "a.svg"));
            chart.SavePng(png);
            chart.SaveSvg(svg);
            Assert.Equal(chart.ToPng(), File.ReadAllBytes(png));
            Assert.Equal(chart.ToSvg(), File.ReadAllText(svg));
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    internal static ChartCase Case(string name) => ChartCase.All().Single(c => c.Name == name);

    internal static ChartContent Content(ChartCase item, PressureUnit? unit = null) =>
        ChartComposer.Compose(item.Vessel, item.Windows, item.Segments, item.Assessment, unit ?? PressureUnit.Bar);

    private static (ChartContent Content, ChartLayout Layout) Laid(ChartCase item)
    {
        var content = Content(item);
        return (content, new ChartLayout(content, ChartStyle.Page));
    }

    private static double DarkShare(SKBitmap image, ChartLayout layout, double bar)
    {
        var columns = Enumerable.Range((int)layout.Left + 4, (int)(layout.Right - layout.Left) - 60).ToList();
        return columns.Count(x => Luminance(image, x, layout.Y(bar)) < Dark) / (double)columns.Count;
    }

    private static double Luminance(SKBitmap image, double x, double y)
    {
        var pixel = image.GetPixel((int)Math.Floor(x), (int)Math.Floor(y));
        return (0.2126 * pixel.Red) + (0.7152 * pixel.Green) + (0.0722 * pixel.Blue);
    }

    private static double Grey(ScottPlot.Color colour) => (0.2126 * colour.R) + (0.7152 * colour.G) + (0.0722 * colour.B);
}
