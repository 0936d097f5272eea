using System.Globalization;
using System.Text;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Charts.Content;

/// <summary>The words and figures on a chart.</summary>
internal static class ChartTexts
{
    public static string Name(SegmentCause cause) => cause switch
    {
        SegmentCause.FirstWindow => "first window",
        SegmentCause.RecordedCharge => "charge",
        SegmentCause.UnrecordedCharge => "step up",
        SegmentCause.SuddenLoss => "sudden loss",
        SegmentCause.RecordedTransducerChange => "transducer changed",
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "The chart has no words for this cause."),
    };

    public static string Celsius(GasTemperature temperature) =>
        $"{temperature.DegreesCelsius.ToString("0.#", CultureInfo.InvariantCulture)} °C";

    public static IReadOnlyList<string> Figures(
        VesselSpecification specification, Assessment assessment, int windowCount, Func<double, double> gauge, PressureScale scale)
    {
        List<string> phrases = [];
        if (windowCount == 0)
        {
            phrases.Add("No precharge window yet.");
        }
        else if (assessment.PrechargePa is { } precharge)
        {
            phrases.Add(Precharge(gauge(precharge), assessment, scale));
        }

        if (assessment.Fit is { } fit)
        {
            phrases.Add(Rate(fit, specification.AllowedLossPaPerSecond, scale));
            if (assessment.Verdict != Verdict.BelowLowerLimit && Crossing(assessment.Forecast, assessment.AsOf) is { } crossing)
            {
                phrases.Add(crossing);
            }
        }
        else if (windowCount > 0)
        {
            phrases.Add($"Fewer than {VerdictJudge.FewestForTrend} points in the current segment: no loss rate yet.");
        }

        if (!string.IsNullOrWhiteSpace(assessment.DataFault))
        {
            phrases.Add($"Data: {Clean(StoredSentence.In(assessment.DataFault, scale.Unit))}");
        }

        return phrases;
    }

    /// <summary>Without control characters (SVG forbids them) and with single blanks (SVG folds them).</summary>
    public static string Clean(string text)
    {
        StringBuilder clean = new(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            if (Rune.IsWhiteSpace(rune) || Rune.IsControl(rune))
            {
                if (clean.Length > 0 && clean[^1] != ' ')
                {
                    clean.Append(' ');
                }
            }
            else if (rune.Value is not (0xFFFE or 0xFFFF))
            {
                clean.Append(rune.ToString());
            }
        }

        return clean.ToString().TrimEnd();
    }

    private static string Precharge(double gauge, Assessment assessment, PressureScale scale)
    {
        var half = scale.FromPascals(CoverageFactor.Expanded * (assessment.PrechargeUncertaintyPa ?? double.NaN));
        var digits = half > 0 ? Digits(half) : 2;
        var interval = half > 0 ? $" ± {UnitWords.Fixed(half, digits)}" : "";
        var when = assessment.LevelSeen() is { } seen ? $" on {DayText.Of(seen)}" : "";
        return $"Precharge {UnitWords.Fixed(gauge, digits)}{interval} {scale.Symbol}{when}";
    }

    private static string Rate(TrendFit fit, double allowedPaPerSecond, PressureScale scale)
    {
        double PerMonth(double paPerSecond) => scale.FromPascals(paPerSecond * LossRate.SecondsPerMonth);

        var loss = PerMonth(-fit.SlopeNowPaPerSecond());
        var half = PerMonth(fit.SlopeNowHalfWidthPaPerSecond());
        var allowed = PerMonth(allowedPaPerSecond);
        var digits = Digits(double.IsFinite(half) && half > 0 ? Math.Min(half, allowed) : allowed);
        var interval = double.IsFinite(half) ? $" (95 %: {UnitWords.Fixed(loss - half, digits)} to {UnitWords.Fixed(loss + half, digits)})" : " (no interval yet)";
        return $"Loss {UnitWords.Fixed(loss, digits)} {scale.Symbol}/month{interval}, allowed {UnitWords.Fixed(allowed, Digits(allowed))}";
    }

    private static string? Crossing(CrossingForecast? forecast, DateTimeOffset asOf) => forecast switch
    {
        null => null,
        { Crossing: { } at, Earliest: { } early, Latest: { } late } =>
            $"Lower limit reached {ChartTime.Ahead(at, asOf)} (95 %: {Early(early, asOf)} to {ChartTime.Ahead(late, asOf)})",
        { Crossing: { } at, Earliest: { } early } =>
            $"Lower limit reached {ChartTime.Ahead(at, asOf)} (95 %: {Early(early, asOf)} at the earliest, or never)",
        { Crossing: { } at } => $"Lower limit reached {ChartTime.Ahead(at, asOf)}",
        { Earliest: { } early } => $"Lower limit reached {Early(early, asOf)} at the earliest, or never",
        _ => "No sign of reaching the lower limit",
    };

    // The interval of a forecast cannot begin in the past.
    private static string Early(DateTimeOffset early, DateTimeOffset asOf) => early <= asOf ? "now" : ChartTime.Ahead(early, asOf);

    private static int Digits(double half) => half > 0 && double.IsFinite(half) ? UnitWords.DecimalsOf(half) : 2;
}
