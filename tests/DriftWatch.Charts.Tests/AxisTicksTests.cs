using System.Globalization;
using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;

namespace DriftWatch.Charts.Tests;

public sealed class AxisTicksTests
{
    [Theory]
    [InlineData(16)]
    [InlineData(1204)]
    public void Ticks_of_any_span_are_few_inside_and_ascending(int seed)
    {
        Random random = new(seed);
        for (var n = 0; n < 2000; n++)
        {
            var low = (random.NextDouble() - 0.5) * 40_000;
            AxisSpan span = new(low, low + Math.Pow(10, (random.NextDouble() * 5.5) - 0.5));
            var most = random.Next(2, 14);
            foreach (var ticks in new[] { AxisTicks.Time(span, most), AxisTicks.Pressure(span, most) })
            {
                Assert.True(ticks.Count <= most + 1, $"Seed {seed}, span {span}, at most {most}: {ticks.Count} ticks.");
                Assert.All(ticks, t => Assert.True(span.Holds(t.Position), $"Seed {seed}: {t} outside {span}."));
                Assert.All(ticks.Zip(ticks.Skip(1)), p => Assert.True(p.First.Position < p.Second.Position));
                Assert.Equal(ticks.Count, ticks.Select(t => t.Label).Distinct().Count());
            }
        }
    }

    [Fact]
    public void A_pressure_label_is_the_value_of_its_tick()
    {
        foreach (var tick in AxisTicks.Pressure(new AxisSpan(-0.35, 1.1), 9))
        {
            Assert.Equal(tick.Position, double.Parse(tick.Label, CultureInfo.InvariantCulture), 9);
            Assert.NotEqual("-0.0", tick.Label);
        }
    }

    [Fact]
    public void Days_fall_on_Mondays_months_on_their_first_years_on_New_Year()
    {
        AxisSpan From(int days) => new(ChartTime.Days(new DateTimeOffset(2025, 2, 12, 7, 0, 0, TimeSpan.Zero)), ChartTime.Days(new DateTimeOffset(2025, 2, 12, 7, 0, 0, TimeSpan.Zero)) + days);
        // 2025-02-17 is a Monday (ISO 8601 week 8).
        Assert.Equal("2025-02-17", AxisTicks.Time(From(60), 9)[0].Label);
        Assert.Equal("2025-03", AxisTicks.Time(From(300), 12)[0].Label);
        Assert.Equal("2026", AxisTicks.Time(From(3000), 10)[0].Label);
    }
}
