using System.Globalization;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Verdicts;

/// <summary>
/// Says what is known of a vessel at a moment. The order of the questions is the order of harm: a level outside the
/// limits stands even when the vessel has fallen silent; silence comes before any good news; a loss above the allowed
/// rate is called only when the interval that holds at every look lies beyond it.
/// </summary>
public static class VerdictJudge
{
    private const int FewestForTrend = 3;

    /// <summary>A single point outside a limit counts when it is out by this many standard uncertainties.</summary>
    private const double SinglePointUncertainties = 2;

    /// <summary>A sudden loss counts as news for as long as the new level has not been seen steady for this time.</summary>
    private static readonly TimeSpan SteadyAfterStep = TimeSpan.FromDays(30);

    /// <summary>The assessment of a vessel at a moment.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="evidence">What is known.</param>
    /// <param name="asOf">The moment, UTC; not before the evidence.</param>
    /// <returns>The assessment.</returns>
    public static Assessment Assess(VesselSpecification vessel, VesselEvidence evidence, DateTimeOffset asOf)
    {
        TrendFit? fit = FitOf(vessel, evidence);
        double lowerPa = vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;
        var assessment = new Assessment
        {
            AsOf = asOf,
            Verdict = Verdict.NotKnownYet,
            Reason = "",
            Segment = evidence.Segment,
            PointCount = evidence.Points.Count,
            LastWindow = evidence.LastWindow,
            Fit = fit,
            Forecast = fit is null ? null : CrossingForecaster.Forecast(fit, lowerPa),
            DataFault = evidence.DataFault,
        };
        if (evidence.Points.Count > 0)
        {
            (double level, double uncertainty) = LevelNow(evidence.Points, fit);
            assessment = assessment with { PrechargePa = level, PrechargeUncertaintyPa = uncertainty };
        }

        (Verdict verdict, string reason) = Judge(vessel, evidence, assessment);
        return assessment with { Verdict = verdict, Reason = reason };
    }

    private static (Verdict Verdict, string Reason) Judge(VesselSpecification vessel, VesselEvidence evidence, Assessment now)
    {
        double lowerPa = vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;
        double upperPa = vessel.UpperLimit.ToAbsolute(vessel.Ambient).Pascals;
        bool silent = now.AsOf - evidence.HeardLast > vessel.LongestSilence;
        string last = evidence.LastWindow is { } end ? $" Last window {Day(end)}." : "";

        if (now.PrechargePa is { } levelPa && evidence.Segment is not null)
        {
            double margin = now.PointCount >= 2 ? 0 : SinglePointUncertainties * now.PrechargeUncertaintyPa!.Value;
            if (levelPa < lowerPa - margin)
            {
                return (Verdict.BelowLowerLimit,
                    $"Precharge {Level(vessel, now)} is below the lower limit of {Bar(vessel.LowerLimit.Bar)} bar.{StepWords(evidence)}{(silent ? last : "")}");
            }

            if (!silent && levelPa > upperPa + margin)
            {
                return (Verdict.AboveUpperLimit,
                    $"Precharge {Level(vessel, now)} is above the upper limit of {Bar(vessel.UpperLimit.Bar)} bar{Rising(vessel, now)}.");
            }
        }

        if (silent)
        {
            string fault = now.DataFault.Length > 0 ? " " + now.DataFault : "";
            return (Verdict.NoWindowTooLong,
                $"No trusted precharge window for {Days(now.AsOf - evidence.HeardLast)}, longer than the {Days(vessel.LongestSilence)} allowed.{fault}");
        }

        if (StepStands(evidence, now, vessel) is { } stepPa)
        {
            return (Verdict.FallingFasterThanAllowed,
                $"Sudden loss of {Bar(-stepPa / 1e5)} bar on {Day(evidence.Segment!.Start)} that is not on record as a bleed.");
        }

        if (now.Fit is not { PointCount: >= FewestForTrend } fit)
        {
            return (Verdict.NotKnownYet, now.PointCount == 0
                ? "No trusted precharge window yet in this segment."
                : $"Only {now.PointCount} point{(now.PointCount == 1 ? "" : "s")} since {Day(evidence.Segment!.Start)}; a trend needs {FewestForTrend}.");
        }

        double allowed = -vessel.AllowedLossPaPerSecond;
        string rate = RateWords(vessel, fit);
        if (fit.SequentialSlopeHighPaPerSecond < allowed)
        {
            return (Verdict.FallingFasterThanAllowed, $"{rate}, above the allowed {AllowedWords(vessel)}.");
        }

        double half = fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond;
        bool slowEnough = fit.SlopePaPerSecond - half >= allowed;
        bool sharpEnough = half <= vessel.AllowedLossPaPerSecond && fit.SlopePaPerSecond + half >= allowed;
        if (slowEnough || sharpEnough)
        {
            return (Verdict.WithinLimits, $"Precharge {Level(vessel, now)}; {LowerFirst(rate)}, allowed {AllowedWords(vessel)}.");
        }

        return (Verdict.NotKnownYet, fit.SlopePaPerSecond + half < allowed
            ? $"{rate}: it looks above the allowed {AllowedWords(vessel)}, but the proof that holds at every look is not there yet."
            : $"{rate}: too uncertain to hold against the allowed {AllowedWords(vessel)}.");
    }

    private static TrendFit? FitOf(VesselSpecification vessel, VesselEvidence evidence)
    {
        if (evidence.Segment is null || evidence.Points.Count < 2 || evidence.Points[0].Middle == evidence.Points[^1].Middle)
        {
            return null;
        }

        // Each segment is a new series of looks: the whole life's probability is shared out, 6/pi^2 of it over 1/k^2.
        int k = evidence.Segment.Number + 1;
        double share = vessel.FalseAlarmProbability * 6 / (Math.PI * Math.PI * k * k);
        return TrendFitter.Fit(evidence.Series, vessel.AllowedLossPaPerSecond, share);
    }

    private static (double LevelPa, double UncertaintyPa) LevelNow(IReadOnlyList<PrechargeWindow> points, TrendFit? fit)
    {
        PrechargeWindow last = points[^1];
        return fit is { PointCount: >= FewestForTrend }
            ? (fit.IsCurved ? fit.FirstOrder!.LevelAtPa(last.Middle) : fit.LevelAtPa(last.Middle), double.Hypot(fit.RandomUncertaintyAtPa(last.Middle), fit.SharedUncertaintyPa))
            : (last.PrechargePa, double.Hypot(last.RandomUncertaintyPa, last.SharedUncertaintyPa));
    }

    /// <summary>The step with which the segment began, while it is a loss that matters and is not yet history; Pa.</summary>
    private static double? StepStands(VesselEvidence evidence, Assessment now, VesselSpecification vessel)
    {
        if (evidence.Segment is not { Cause: SegmentCause.SuddenLoss } || evidence.PreviousLevelPa is not { } before)
        {
            return null;
        }

        double step = evidence.Points[0].PrechargePa - before;
        bool steady = now.Fit is { PointCount: >= FewestForTrend } fit && fit.LastPoint - fit.FirstPoint >= SteadyAfterStep;
        return !steady && -step > vessel.AllowedLossPaPerSecond * LossRate.SecondsPerMonth ? step : null;
    }

    private static string StepWords(VesselEvidence evidence) =>
        evidence.Segment is { Cause: SegmentCause.SuddenLoss } && evidence.PreviousLevelPa is { } before
            ? $" It lost {Bar((before - evidence.Points[0].PrechargePa) / 1e5)} bar at once on {Day(evidence.Segment.Start)}."
            : "";

    private static string Rising(VesselSpecification vessel, Assessment now)
    {
        if (now.Fit is not { PointCount: >= FewestForTrend } fit
            || fit.SlopePaPerSecond - (fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond) <= 0)
        {
            return "";
        }

        double rise = -LossRate.FromSlope(vessel, fit.SlopePaPerSecond, now.PrechargePa!.Value).BarPerMonth;
        return $" and rises by {Rate(rise)} bar/month: fluid in the gas side is likely";
    }

    private static string RateWords(VesselSpecification vessel, TrendFit fit)
    {
        double half = fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond;
        LossRate loss = LossRate.FromSlope(vessel, fit.SlopePaPerSecond, fit.LevelPa);
        string since = fit.LossChanged is { } change ? $" since {Day(change)}" : "";
        double halfBar = half * LossRate.SecondsPerMonth / 1e5;
        return string.Create(CultureInfo.InvariantCulture,
            $"Loss {Rate(loss.BarPerMonth)} +- {Rate(halfBar)} bar/month ({Rate(loss.PercentPerMonth)} %/month) over {fit.PointCount} points{since}");
    }

    private static string AllowedWords(VesselSpecification vessel) =>
        $"{Rate(vessel.AllowedLossPaPerSecond * LossRate.SecondsPerMonth / 1e5)} bar/month";

    private static string Level(VesselSpecification vessel, Assessment now)
    {
        double gaugeBar = (now.PrechargePa!.Value - vessel.Ambient.Pascals) / 1e5;
        return $"{Bar(gaugeBar)} +- {Bar(2 * now.PrechargeUncertaintyPa!.Value / 1e5)} bar gauge";
    }

    private static string Bar(double bar) => Unsigned(bar.ToString("0.0", CultureInfo.InvariantCulture));

    private static string Rate(double rate) =>
        Unsigned(rate.ToString(Math.Abs(rate) < 0.0995 ? "0.000" : "0.00", CultureInfo.InvariantCulture));

    /// <summary>A figure that rounds to nothing has no sign.</summary>
    private static string Unsigned(string figure) => figure is "-0.0" or "-0.00" or "-0.000" ? figure[1..] : figure;

    private static string Day(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Days(TimeSpan span) => string.Create(CultureInfo.InvariantCulture, $"{span.TotalDays:0} days");

    private static string LowerFirst(string words) => char.ToLowerInvariant(words[0]) + words[1..];
}
