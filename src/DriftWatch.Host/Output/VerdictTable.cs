using System.Globalization;
using DriftWatch.Charts;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using Spectre.Console;

namespace DriftWatch.Host.Output;

/// <summary>The verdicts of a plant as a table for a terminal, what needs a hand first.</summary>
internal static class VerdictTable
{
    public static void Write(IAnsiConsole console, IReadOnlyList<VesselResult> results, PressureUnit unit)
    {
        PressureScale scale = new PressureScale(unit);
        Table table = new Table().Border(TableBorder.Simple)
            .AddColumn("Vessel")
            .AddColumn("Verdict")
            .AddColumn(new TableColumn($"Precharge,\n{scale.Symbol} gauge").RightAligned())
            .AddColumn(new TableColumn("% of\nnominal").RightAligned())
            .AddColumn(new TableColumn($"Loss,\n{scale.Symbol}/month (95 %)").RightAligned())
            .AddColumn(new TableColumn("Allowed").RightAligned())
            .AddColumn(new TableColumn("Loss,\n%/month").RightAligned())
            .AddColumn(new TableColumn("Loss,\nPa m3/s").RightAligned())
            .AddColumn("Lower limit reached\n(95 % from - to)")
            .AddColumn("Recharge\nby")
            .AddColumn(new TableColumn("Lost usable\nvolume, %\n(at limit)").RightAligned())
            .AddColumn("Last window");
        foreach (VesselResult result in InOrder(results))
        {
            table.AddRow([.. Cells(result, scale).Select(Markup.Escape)]);
        }

        console.Write(table);
    }

    /// <summary>One line a vessel with the reason of its verdict.</summary>
    public static void WriteReasons(IAnsiConsole console, IReadOnlyList<VesselResult> results, PressureUnit unit)
    {
        foreach (VesselResult result in InOrder(results))
        {
            // Not wrapped: a reason is one sentence that people search for.
            console.Profile.Out.Writer.WriteLine($"{result.Vessel.Id}: {VerdictWords.Reason(result.Vessel.Specification, result.Assessment, unit)}");
        }
    }

    private static IOrderedEnumerable<VesselResult> InOrder(IReadOnlyList<VesselResult> results) =>
        Urgency.MostUrgentFirst(results, result => result.Vessel, result => result.Assessment);

    private static IEnumerable<string> Cells(VesselResult result, PressureScale scale)
    {
        Assessment assessment = result.Assessment;
        double ambientPa = result.Vessel.Specification.Ambient.Pascals;
        double nominalPa = result.Vessel.Specification.NominalPrecharge.Pascals;
        yield return result.Vessel.Id;
        yield return VerdictNames.NameOf(assessment.Verdict);
        yield return assessment.PrechargePa is { } level
            ? $"{scale.Number(level - ambientPa)} +- {scale.Number(Math.Max(CoverageFactor.Expanded * assessment.PrechargeUncertaintyPa!.Value, scale.Unit.SmallestShownPa))}"
            : "-";
        yield return assessment.PrechargePa is { } now
            ? (100 * (now - ambientPa) / nominalPa).ToString("0", CultureInfo.InvariantCulture)
            : "-";
        double allowed = result.Vessel.Specification.AllowedLossPaPerSecond * LossRate.SecondsPerMonth;
        TrendFit? fit = assessment.Fit;
        if (fit is null)
        {
            yield return "-";
            yield return scale.Rate(allowed);
            yield return "-";
            yield return "-";
        }
        else
        {
            LossRate loss = LossRate.Of(result.Vessel.Specification, fit);
            double half = fit.SlopeNowHalfWidthPaPerSecond() * LossRate.SecondsPerMonth;
            yield return scale.RateWithHalfWidth(loss.PaPerSecond * LossRate.SecondsPerMonth, half);
            yield return scale.Rate(allowed);
            yield return UnitWords.Fixed(loss.PercentPerMonth, 2);
            yield return loss.PascalCubicMetresPerSecond.ToString("0.0e+0", CultureInfo.InvariantCulture);
        }

        yield return fit is not null && assessment.Forecast is { Crossing: { } crossing } forecast
            ? $"{DayText.Of(crossing)} ({DayText.Of(forecast.Earliest, "open")} - {DayText.Of(forecast.Latest, "open")})"
            : "-";
        yield return RechargeAdvice.By(assessment) is { } recharge ? DayText.Of(recharge) : "-";
        yield return assessment.LostUsableVolume is { } lost
            ? $"{UnitWords.Fixed(100 * lost.Share, 0)}{(assessment.Forecast?.LossAtCrossing is { } then ? $" ({UnitWords.Fixed(100 * then.Share, 0)})" : "")}"
            : "-";
        yield return DayText.Of(assessment.LastWindow, "open");
    }
}
