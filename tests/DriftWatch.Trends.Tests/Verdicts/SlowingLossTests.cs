using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Verdicts;

/// <summary>
/// 2 % a month of what is left, from 101 bar absolute on, a window a day: 2.02 bar a month at first, 1.4 after 18.3 months (day 558), 1.26 after two
/// years. The allowed loss is 1.4 bar a month.
/// </summary>
public class SlowingLossTests(ITestOutputHelper output)
{
    private const double PerDay = 0.02 / 30.4375;

    private static readonly VesselSpecification Vessel = Make.Vessel() with
    {
        AllowedLossPaPerSecond = 1.4e5 / LossRate.SecondsPerMonth,
        LowerLimit = GaugePressure.FromBar(30),
    };

    [Fact]
    public void Once_the_loss_is_curved_its_present_rate_is_told_and_judged()
    {
        int looks = 0, covered = 0, lateCalls = 0;
        foreach (int seed in Enumerable.Range(1, 8))
        {
            PrechargeWindow[] points = Points(seed, 760);
            for (int day = 240; day <= 760; day += 20)
            {
                Assessment now = Assess(points[..day]);
                if (now.Fit is not { IsCurved: true } fit)
                {
                    continue;
                }

                double trueRate = RateOn(day - 1), told = -fit.SlopeNowPaPerSecond(), half = fit.SlopeNowHalfWidthPaPerSecond();
                looks++;
                covered += Math.Abs(told - trueRate) <= half ? 1 : 0;

                // What is told, drawn and judged is one and the same.
                Assert.Equal(now.PrechargePa!.Value, fit.LevelAtPa(fit.LastPoint), 1e-6);
                if (told + half < Vessel.AllowedLossPaPerSecond)
                {
                    Assert.Equal(Verdict.WithinLimits, now.Verdict);
                }

                lateCalls += day > 650 && now.Verdict == Verdict.FallingFasterThanAllowed ? 1 : 0;
            }

            Assert.Equal(Verdict.FallingFasterThanAllowed, Assess(points[..300]).Verdict);
            Assert.Equal(Verdict.WithinLimits, Assess(points).Verdict);
        }

        output.WriteLine($"{looks} looks at a curve, {covered} with the true rate inside the interval, {lateCalls} calls after day 650");
        Assert.True(looks > 100, $"{looks} looks");
        Assert.True(covered >= 0.85 * looks, $"{covered} of {looks}"); // The looks of one life lean on the same windows.
        Assert.Equal(0, lateCalls);
    }

    [Fact]
    public void The_words_say_the_present_rate_and_the_mean_where_the_proof_rests_on_it()
    {
        PrechargeWindow[] points = Points(1, 760);
        Assessment end = Assess(points);
        double rate = -end.Fit!.SlopeNowPaPerSecond() * LossRate.SecondsPerMonth / 1e5;
        Assert.InRange(rate, 1.15, 1.35);
        Assert.Contains(FormattableString.Invariant($"loss {rate:0.0}"), end.Reason, StringComparison.Ordinal);
        Assert.Contains("by now, slowing down as the gas goes, over 760 points, allowed 1.40 bar/month.", end.Reason, StringComparison.Ordinal);

        Assessment between = Enumerable.Range(20, 18).Select(step => Assess(points[..(20 * step)])).First(now =>
            now is { Verdict: Verdict.FallingFasterThanAllowed, Fit: { IsCurved: true } fit }
            && -fit.SlopeNowPaPerSecond() - fit.SlopeNowHalfWidthPaPerSecond() < Vessel.AllowedLossPaPerSecond);
        Assert.Contains("; on the mean of them it was ", between.Reason, StringComparison.Ordinal);
        Assert.EndsWith(" bar/month, above the allowed 1.40 bar/month.", between.Reason, StringComparison.Ordinal);
        Assert.DoesNotContain(" bar", VerdictWords.Reason(Vessel, between, PressureUnit.Psi), StringComparison.Ordinal);
    }

    /// <summary>By central differences over a day.</summary>
    [Fact]
    public void The_slope_of_the_curve_is_that_of_its_levels()
    {
        TrendFit fit = Assess(Points(3, 700)).Fit!;
        Assert.True(fit.IsCurved);
        double slope = (fit.LevelAtPa(fit.LastPoint.AddHours(12)) - fit.LevelAtPa(fit.LastPoint.AddHours(-12))) / 86400;
        Assert.Equal(slope, fit.SlopeNowPaPerSecond(), 1e-4 * -slope);

        // The uncertainty by trial: level and rate moved by their own, each by itself.
        FirstOrderLoss curve = fit.FirstOrder!;
        double Moved(double level, double rate) => (curve with { LevelPa = curve.LevelPa * (1 + level), RatePerSecond = curve.RatePerSecond + rate })
            .SlopeAtPaPerSecond(fit.LastPoint) - fit.SlopeNowPaPerSecond();
        double trial = double.Hypot(Moved(curve.LevelRelativeUncertainty, 0), Moved(0, curve.RateUncertaintyPerSecond));
        Assert.Equal(trial, curve.SlopeUncertaintyAtPaPerSecond(fit.LastPoint), 0.01 * trial);
    }

    private static double RateOn(double day) => 101e5 * PerDay * Math.Exp(-PerDay * (day + 0.125)) / 86400;

    private static PrechargeWindow[] Points(int seed, int count)
    {
        var dice = new NormalDice(seed);
        return [.. Enumerable.Range(0, count).Select(day => Make.Window(
            day, (101 * Math.Exp(-PerDay * (day + 0.125))) + (0.1 * dice.Next()), evidence: WindowEvidence.FluidPressure))];
    }

    private static Assessment Assess(PrechargeWindow[] points) => VerdictJudge.Assess(
        Vessel,
        new VesselEvidence(new TrendSegment(0, points[0].Start, SegmentCause.FirstWindow), points, TrendSeries.Of(points), null, points[^1].End, points[^1].End, ""),
        points[^1].End);
}
