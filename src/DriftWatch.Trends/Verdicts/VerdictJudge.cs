using DriftWatch.Gas.Units;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Verdicts;

/// <summary>
/// Says what is known of a vessel at a moment. The order of the questions is the order of harm: a level outside the
/// limits stands even when the vessel has fallen silent; silence comes before any good news; a loss above the allowed
/// rate is called only when the interval that holds at every look lies beyond it, and not where the loss has slowed down since.
/// </summary>
public static class VerdictJudge
{
    /// <summary>Fewest points of a trend: with fewer there is no line, so that no rate and no date is told.</summary>
    public const int FewestForTrend = 3;

    /// <summary>While there is no trend, a level outside a limit counts when it is out by this many standard uncertainties.</summary>
    private const double FewPointsUncertainties = 2;

    /// <summary>A step counts as news for as long as the new level has not been seen steady for this time.</summary>
    private static readonly TimeSpan SteadyAfterStep = TimeSpan.FromDays(30);

    /// <summary>The assessment of a vessel at a moment.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="evidence">What is known.</param>
    /// <param name="asOf">The moment, UTC; not before the evidence.</param>
    /// <returns>The assessment.</returns>
    public static Assessment Assess(VesselSpecification vessel, VesselEvidence evidence, DateTimeOffset asOf)
    {
        TrendFit? fit = FitOf(vessel, evidence);
        double? step = StepOf(evidence);
        double lowerPa = vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;
        var assessment = new Assessment
        {
            AsOf = asOf,
            Verdict = Verdict.NotKnownYet,
            Reason = "",
            Segment = evidence.Segment,
            PointCount = evidence.Series.Count,
            LastWindow = evidence.LastWindow,
            Fit = fit,
            Forecast = fit is null ? null : CrossingForecaster.Forecast(fit, lowerPa),
            DataFault = evidence.DataFault,
            HeardLast = evidence.HeardLast,
            StepPa = step,
            Rising = RisingOf(vessel, evidence, step, fit),
        };
        if (evidence.Points.Count > 0)
        {
            (double level, double uncertainty) = LevelNow(vessel, evidence.Points, fit);
            assessment = assessment with
            {
                PrechargePa = level,
                PrechargeUncertaintyPa = uncertainty,
                LostUsableVolume = UsableVolumeLoss.At(vessel, level),
            };
        }

        (Verdict verdict, VerdictGround ground) = Judge(vessel, evidence, assessment);
        assessment = assessment with
        {
            Verdict = verdict,
            Ground = ground,
            Forecast = assessment.Forecast is { } forecast
                ? forecast with
                {
                    LossAtCrossing = UsableVolumeLoss.At(vessel, lowerPa),
                    RecommendedRecharge = verdict == Verdict.NotKnownYet ? null : RechargeDate.Before(forecast.Earliest, asOf),
                }
                : null,
        };
        return assessment with { Reason = VerdictWords.Reason(vessel, assessment, PressureUnit.Bar) };
    }

    private static (Verdict Verdict, VerdictGround Ground) Judge(VesselSpecification vessel, VesselEvidence evidence, Assessment now)
    {
        double lowerPa = vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;
        double upperPa = vessel.UpperLimit.ToAbsolute(vessel.Ambient).Pascals;
        bool silent = now.AsOf - evidence.HeardLast > vessel.LongestSilence;
        if (now.PrechargePa is { } levelPa && evidence.Segment is not null)
        {
            double margin = now.PointCount >= FewestForTrend ? 0 : FewPointsUncertainties * now.PrechargeUncertaintyPa!.Value;
            if (levelPa < lowerPa - margin)
            {
                return (Verdict.BelowLowerLimit, VerdictGround.LevelBelow);
            }

            if (levelPa > upperPa + margin)
            {
                return (Verdict.AboveUpperLimit, VerdictGround.LevelAbove);
            }
        }

        if (silent)
        {
            return (Verdict.NoWindowTooLong, VerdictGround.Silence);
        }

        if (LossStands(now, vessel))
        {
            return (Verdict.FallingFasterThanAllowed, VerdictGround.SuddenLoss);
        }

        if (now.Fit is not { } fit)
        {
            return (Verdict.NotKnownYet, now.PointCount == 0 ? VerdictGround.NoPoint : VerdictGround.FewPoints);
        }

        // A curve can only take a call back, never make one: what the interval that holds at every look promises stands.
        double allowed = -vessel.AllowedLossPaPerSecond;
        double slope = fit.SlopeNowPaPerSecond();
        double half = fit.SlopeNowHalfWidthPaPerSecond();
        bool slowEnough = slope - half >= allowed;
        if (fit.SequentialSlopeHighPaPerSecond < allowed && !(fit.IsCurved && slowEnough))
        {
            return (Verdict.FallingFasterThanAllowed, VerdictGround.LossProven);
        }

        bool sharpEnough = half <= vessel.AllowedLossPaPerSecond && slope + half >= allowed;
        if (slowEnough || sharpEnough)
        {
            return (Verdict.WithinLimits, VerdictGround.LossAllowed);
        }

        return (Verdict.NotKnownYet, slope + half < allowed ? VerdictGround.LossNotProven : VerdictGround.LossUncertain);
    }

    private static TrendFit? FitOf(VesselSpecification vessel, VesselEvidence evidence)
    {
        if (evidence.Segment is null || evidence.Series.Count < FewestForTrend || evidence.Series.First == evidence.Series.Last)
        {
            return null;
        }

        // Each segment is a new series of looks: the whole life's probability is shared out, 6/pi^2 of it over 1/k^2.
        int k = evidence.Segment.Number + 1;
        double share = vessel.FalseAlarmProbability * 6 / (Math.PI * Math.PI * k * k);
        return TrendFitter.Fit(evidence.Series, vessel.AllowedLossPaPerSecond, share);
    }

    private static (double LevelPa, double UncertaintyPa) LevelNow(VesselSpecification vessel, IReadOnlyList<PrechargeWindow> points, TrendFit? fit)
    {
        PrechargeWindow last = points[^1];
        if (fit is not null)
        {
            double level = fit.LevelAtPa(last.Middle);

            // A line through the loss of a vessel that has run empty since goes on below the pressure around it, where there is no gas.
            if (level >= Math.Min(vessel.Ambient.Pascals, last.PrechargePa))
            {
                return (level, double.Hypot(fit.RandomUncertaintyAtPa(last.Middle), fit.SharedUncertaintyPa));
            }
        }

        return (last.PrechargePa, double.Hypot(last.RandomUncertaintyPa, last.SharedUncertaintyPa));
    }

    /// <summary>The step with which the segment began, Pa; null when it began otherwise.</summary>
    private static double? StepOf(VesselEvidence evidence) =>
        evidence.Segment is { Cause: SegmentCause.SuddenLoss or SegmentCause.UnrecordedCharge } && evidence is { PreviousLevelPa: { } before, Points: [var first, ..] }
            ? first.PrechargePa - before
            : null;

    /// <summary>Whether the segment began with a loss that matters and is not yet history.</summary>
    private static bool LossStands(Assessment now, VesselSpecification vessel) =>
        now is { Segment.Cause: SegmentCause.SuddenLoss, StepPa: { } step }
        && !IsSteady(now.Fit) && -step > vessel.AllowedLossPaPerSecond * LossRate.SecondsPerMonth;

    /// <summary>A rise at once that began the segment and is not yet history; else what the windows since show.</summary>
    private static RisingPrecharge? RisingOf(VesselSpecification vessel, VesselEvidence evidence, double? stepPa, TrendFit? fit) =>
        evidence.Segment is { Cause: SegmentCause.UnrecordedCharge } segment && stepPa is { } step && !IsSteady(fit)
            ? new RisingPrecharge(RiseShape.UnrecordedCharge, step, evidence.Series.Count, segment.Start, evidence.Points[^1].Start)
            : RisingPrecharge.Of(evidence.Points, vessel.NominalPrecharge.ToAbsolute(vessel.Ambient).Pascals);

    private static bool IsSteady(TrendFit? fit) =>
        fit is not null && fit.LastPoint - fit.FirstPoint >= SteadyAfterStep;
}
