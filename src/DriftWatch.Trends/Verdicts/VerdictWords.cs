using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Verdicts;

/// <summary>
/// The reason of a verdict in words. Stored documents hold it in bar; every face may say it anew in the unit of its
/// reader from the same figures.
/// </summary>
public static class VerdictWords
{
    /// <summary>The reason; numbers and dates culture-invariant.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="assessment">What is said of it.</param>
    /// <param name="unit">Unit of the pressures.</param>
    /// <returns>One sentence, and further ones where the precharge lost or gained gas at once, rises, or a signal fails.</returns>
    public static string Reason(VesselSpecification vessel, Assessment assessment, PressureUnit unit)
    {
        // Documents older than the ground hold the sentence alone.
        if (assessment.Ground is not { } ground)
        {
            return assessment.Reason;
        }

        var words = new UnitWords(unit);
        return Main(vessel, assessment, ground, unit) + Rise(assessment.Rising, words) + Suspicion(assessment, ground);
    }

    /// <summary>A unit or kind that may be wrong puts every figure of the sentence in doubt; in silence all faults are told already.</summary>
    private static string Suspicion(Assessment now, VerdictGround ground) => ground == VerdictGround.Silence ? "" : string.Concat(
        now.Faults.All.Where(fault => fault.Kind is FaultKind.UnitMixUp or FaultKind.GaugeOrAbsolute).Select(fault => " " + fault.Evidence));

    private static string Main(VesselSpecification vessel, Assessment now, VerdictGround ground, PressureUnit unit)
    {
        var words = new UnitWords(unit);
        string allowed = words.RateWithUnit(vessel.AllowedLossPaPerSecond);
        return ground switch
        {
            VerdictGround.LevelBelow =>
                $"{LevelAndLimit(vessel, now, unit, "below the lower", vessel.LowerLimit.Pascals)}{ByHand(now) ?? StepLost(now, words)}{(Silent(vessel, now) ? Last(now) : "")}",
            VerdictGround.LevelAbove =>
                $"{LevelAndLimit(vessel, now, unit, "above the upper", vessel.UpperLimit.Pascals)}{ByHand(now)}{(Silent(vessel, now) ? Last(now) : "")}",
            VerdictGround.Silence =>
                $"No trusted precharge window for {Silence(now.AsOf - now.HeardLast, vessel.LongestSilence)}.{(now.DataFault.Length > 0 ? " " + now.DataFault : "")}",
            VerdictGround.SuddenLoss =>
                $"Sudden loss of {words.WithUnit(-now.StepPa!.Value)} on {DayText.Of(now.Segment!.Start)} that is not on record as a bleed.",
            VerdictGround.NoPoint => $"No trusted precharge window yet in this segment.{Changed(now)}",
            VerdictGround.FewPoints =>
                $"Only {now.PointCount} point{(now.PointCount == 1 ? "" : "s")} since {DayText.Of(now.Segment!.Start)}; a trend needs {VerdictJudge.FewestForTrend}.{Changed(now)}",
            VerdictGround.LossProven =>
                $"{Loss(vessel, now.Fit!, words)}{Mean(vessel, now.Fit!, words)}, above the allowed {AllowedBelow(-ProvenSlope(vessel, now.Fit!), vessel.AllowedLossPaPerSecond, unit)}.",
            VerdictGround.LossAllowed => $"Precharge {Level(vessel, now, words)}; {LowerFirst(Loss(vessel, now.Fit!, words))}, allowed {allowed}.",
            VerdictGround.LossNotProven =>
                $"{Loss(vessel, now.Fit!, words)}: it looks above the allowed {allowed}, but the proof that holds at every look is not there yet.",
            VerdictGround.LossUncertain => $"{Loss(vessel, now.Fit!, words)}: too uncertain to hold against the allowed {allowed}.",
            _ => throw new ArgumentOutOfRangeException(nameof(ground), ground, "Not a ground of a verdict."),
        };
    }

    private static string Rise(RisingPrecharge? rising, UnitWords words) => rising switch
    {
        null => "",
        { Shape: RiseShape.FluidInGasSide } => string.Create(CultureInfo.InvariantCulture,
            $" It climbed steadily, by {words.WithUnit(rising.RisePa)} over {rising.Windows} windows in {(rising.Last - rising.First).TotalDays:0} days: fluid in the gas side is likely."),
        { Shape: RiseShape.UnrecordedCharge } =>
            $" It rose at once, by {words.WithUnit(rising.RisePa)} on {DayText.Of(rising.First)}, and stayed there: a charge that is not on record is likely.",
        _ => string.Create(CultureInfo.InvariantCulture,
            $" It rose by {words.WithUnit(rising.RisePa)} over {rising.Windows} windows; whether at once (a charge that is not on record) or little by little (fluid in the gas side) they do not tell yet."),
    };

    private static bool Silent(VesselSpecification vessel, Assessment now) => now.AsOf - now.HeardLast > vessel.LongestSilence;

    private static string Last(Assessment now) => now.LastWindow is { } end ? $" Last window {DayText.Of(end)}." : "";

    private static string? ByHand(Assessment now) => now.FoundByHand is { } found ? $" It was found by hand on {DayText.Of(found)}." : null;

    private static string Changed(Assessment now) => now is { Segment: { Cause: SegmentCause.RecordedTransducerChange } segment }
        ? $" A transducer was changed on {DayText.Of(segment.Start)}: the windows before it are not compared with those after it."
        : "";

    private static string StepLost(Assessment now, UnitWords words) =>
        now is { Segment.Cause: SegmentCause.SuddenLoss, StepPa: { } step }
            ? $" It lost {words.WithUnit(-step)} at once on {DayText.Of(now.Segment.Start)}."
            : "";

    private static string Level(VesselSpecification vessel, Assessment now, UnitWords words) =>
        $"{words.Number(now.PrechargePa!.Value - vessel.Ambient.Pascals)} +- {words.HalfWithUnit(CoverageFactor.Expanded * now.PrechargeUncertaintyPa!.Value)} gauge";

    /// <summary>A level beyond a limit, with as many digits as it takes to see that it is.</summary>
    private static string LevelAndLimit(VesselSpecification vessel, Assessment now, PressureUnit unit, string side, double limitPa)
    {
        double level = (now.PrechargePa!.Value - vessel.Ambient.Pascals) / unit.PascalsPerUnit;
        double limit = limitPa / unit.PascalsPerUnit;
        double half = Math.Max(CoverageFactor.Expanded * now.PrechargeUncertaintyPa!.Value, unit.SmallestShownPa) / unit.PascalsPerUnit;
        int decimals = unit.Decimals;
        while (decimals < UnitWords.MostDecimals && UnitWords.Fixed(level, decimals) == UnitWords.Fixed(limit, decimals))
        {
            decimals++;
        }

        return $"Precharge {UnitWords.Fixed(level, decimals)} +- {UnitWords.Fixed(half, decimals)} {unit.Symbol} gauge is {side} limit of {UnitWords.Fixed(limit, decimals)} {unit.Symbol}.";
    }

    /// <summary>The allowed rate, Pa/s, with as many digits as it takes to see that a greater one, Pa/s, is above it.</summary>
    private static string AllowedBelow(double lossPaPerSecond, double allowedPaPerSecond, PressureUnit unit)
    {
        double loss = lossPaPerSecond * LossRate.SecondsPerMonth / unit.PascalsPerUnit;
        double allowed = allowedPaPerSecond * LossRate.SecondsPerMonth / unit.PascalsPerUnit;
        string shown = new UnitWords(unit).Rate(allowedPaPerSecond);
        for (int decimals = 0; decimals <= UnitWords.MostDecimals && !(double.Parse(shown, CultureInfo.InvariantCulture) < loss); decimals++)
        {
            shown = UnitWords.Fixed(allowed, decimals);
        }

        return $"{shown} {unit.Symbol}/month";
    }

    /// <summary>Whole days that have passed, against those allowed; while they are the same number only that there are more.</summary>
    private static string Silence(TimeSpan silence, TimeSpan allowed)
    {
        string limit = string.Create(CultureInfo.InvariantCulture, $"{allowed.TotalDays:0.##} day{(allowed.TotalDays == 1 ? "" : "s")} allowed");
        double days = Math.Floor(silence.TotalDays);
        return days > allowed.TotalDays
            ? string.Create(CultureInfo.InvariantCulture, $"{days:0} days, longer than the {limit}")
            : $"more than the {limit}";
    }

    private static string Loss(VesselSpecification vessel, TrendFit fit, UnitWords words)
    {
        LossRate loss = LossRate.Of(vessel, fit);
        string slowing = fit.IsCurved ? " by now, slowing down as the gas goes," : "";
        string since = fit.LossChanged is { } change ? $" since {DayText.Of(change)}" : "";
        return string.Create(CultureInfo.InvariantCulture,
            $"Loss {words.RateWithInterval(loss.PaPerSecond, fit.SlopeNowHalfWidthPaPerSecond())} ({UnitWords.Share(loss.PercentPerMonth)} %/month){slowing} over {fit.PointCount} points{since}");
    }

    /// <summary>Where a loss has slowed down to about the allowed one, the proof is that of the whole stretch.</summary>
    private static string Mean(VesselSpecification vessel, TrendFit fit, UnitWords words) =>
        HasSlowed(vessel, fit)
            ? $"; on the mean of them it was {words.RateWithInterval(-fit.SlopePaPerSecond, fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond)}"
            : "";

    /// <summary>The slope that is said to be above the allowed loss, Pa/s.</summary>
    private static double ProvenSlope(VesselSpecification vessel, TrendFit fit) => HasSlowed(vessel, fit) ? fit.SlopePaPerSecond : fit.SlopeNowPaPerSecond();

    private static bool HasSlowed(VesselSpecification vessel, TrendFit fit) =>
        fit.IsCurved && fit.SlopeNowPaPerSecond() + fit.SlopeNowHalfWidthPaPerSecond() >= -vessel.AllowedLossPaPerSecond;

    private static string LowerFirst(string words) => char.ToLowerInvariant(words[0]) + words[1..];
}
