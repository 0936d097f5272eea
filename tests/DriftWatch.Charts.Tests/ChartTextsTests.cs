using DriftWatch.Gas.Units;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts.Tests;

public sealed class ChartTextsTests
{
    // A month is a twelfth of 365.25 days: 30.4375 days.
    private const double BarPerMonth = 1e5 / (30.4375 * 24 * 3600);

    [Fact]
    public void The_loss_is_told_a_month_with_two_digits_of_its_interval()
    {
        var item = ChartCase.SlowLeak();
        var fit = item.Assessment.Fit! with
        {
            SlopePaPerSecond = -1.2345 * BarPerMonth,
            SlopeUncertaintyPaPerSecond = 0.06 * BarPerMonth,
            CoverageFactor95 = 2,
        };
        item = item with { Assessment = item.Assessment with { Fit = fit } };
        // 1.2345 - 0.12 = 1.1145, 1.2345 + 0.12 = 1.3545; the figures below round them by hand.
        Assert.Contains("Loss 1.23 bar/month (95 %: 1.11 to 1.35), allowed 0.50", TrendChartImageTests.Content(item).Figures);
    }

    /// <summary>The same half-width as on the sheet around the chart: k = 2 of 0.35 bar.</summary>
    [Fact]
    public void A_level_has_the_uncertainty_that_is_said_elsewhere()
    {
        var item = ChartCase.SlowLeak();
        item = item with { Assessment = item.Assessment with { PrechargeUncertaintyPa = 0.35e5 } };
        Assert.Contains(TrendChartImageTests.Content(item).Figures, figure => figure.StartsWith("Precharge ", StringComparison.Ordinal) && figure.Contains("± 0.70 bar", StringComparison.Ordinal));
    }

    [Fact]
    public void A_forecast_is_no_finer_than_it_is_near()
    {
        var item = ChartCase.SlowLeak();
        var asOf = item.Assessment.AsOf;
        CrossingForecast forecast = new(asOf.AddDays(700), asOf.AddDays(-3), asOf.AddYears(15));
        item = item with { Assessment = item.Assessment with { Forecast = forecast } };
        // 2025-10-01 + 700 days: 365 to 2026-10-01, 335 more to 2027-09-01.
        Assert.Contains("Lower limit reached 2027-09-01 (95 %: now to 2040)", TrendChartImageTests.Content(item).Figures);
    }

    [Fact]
    public void Below_the_limit_no_crossing_is_foretold() =>
        Assert.DoesNotContain(TrendChartImageTests.Content(ChartCase.BelowLimit()).Figures, f => f.Contains("reached", StringComparison.Ordinal));

    [Fact]
    public void A_fault_of_the_data_stands_under_the_heading() =>
        Assert.Contains(TrendChartImageTests.Content(ChartCase.ManyCharges()).Figures, f => f.StartsWith("Data: gas temperature", StringComparison.Ordinal));

    [Fact]
    public void Every_verdict_and_cause_has_words()
    {
        var item = ChartCase.OnePoint();
        var headings = Enum.GetValues<Verdict>()
            .Select(v => TrendChartImageTests.Content(item with { Assessment = item.Assessment with { Verdict = v } }).Heading)
            .ToList();
        Assert.Equal(headings.Count, headings.Distinct().Count());
        foreach (var cause in Enum.GetValues<SegmentCause>())
        {
            Assert.NotEmpty(Charts.Content.ChartTexts.Name(cause));
        }
    }

    [Fact]
    public void Points_are_gauge_at_the_ambient_of_the_vessel()
    {
        var item = ChartCase.OnePoint();
        item.Windows[0] = item.Windows[0] with { PrechargePa = 9_901_325 };
        // 9 901 325 Pa absolute less 101 325 Pa ambient: 9 800 000 Pa, 98 bar gauge, 9.8 MPa.
        Assert.Equal(98, TrendChartImageTests.Content(item).Current[0].Value, 9);
        Assert.Equal(9.8, TrendChartImageTests.Content(item, PressureUnit.Megapascal).Current[0].Value, 9);
    }
}
