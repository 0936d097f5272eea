using System.Globalization;
using System.Text.RegularExpressions;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Verdicts;

public class VerdictWordsTests
{
    /// <summary>psi: 6894.757 Pa (from memory of its definition by pound, inch and standard gravity).</summary>
    private const double PsiPa = 6894.757;

    /// <summary>Falls by 0.1 bar a day (3.04 bar a month, allowed 1): known to be too fast.</summary>
    [Fact]
    public void The_same_figures_are_said_in_the_unit_asked_for()
    {
        Assessment falling = Assess(40, day => 101 - (0.1 * day));
        Assert.Equal(VerdictGround.LossProven, falling.Ground);
        Assert.StartsWith("Loss 3.044 +- 0.0", falling.Reason, StringComparison.Ordinal);
        Assert.EndsWith(" bar/month (3.01 %/month) over 40 points, above the allowed 1.00 bar/month.", falling.Reason, StringComparison.Ordinal);
        Assert.Equal(falling.Reason, Words(falling, PressureUnit.Bar));

        string psi = Words(falling, PressureUnit.Psi);
        Assert.StartsWith(FormattableString.Invariant($"Loss {3.04375e5 / PsiPa:0.00} +- "), psi, StringComparison.Ordinal);
        Assert.EndsWith(FormattableString.Invariant($" psi/month (3.01 %/month) over 40 points, above the allowed {1e5 / PsiPa:0.00} psi/month."), psi, StringComparison.Ordinal);
        Assert.EndsWith(" MPa/month (3.01 %/month) over 40 points, above the allowed 0.100 MPa/month.", Words(falling, PressureUnit.Megapascal), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_ground_has_words_without_another_unit()
    {
        Assessment[] all =
        [
            Assess(40, _ => 95), Assess(40, day => 101 - (0.1 * day)), Assess(40, _ => 85), Assess(40, _ => 120), Assess(2, _ => 95),
            Assess(4, day => 95 + (0.3 * (day % 2)), wait: 40), Assess(0, _ => 0), Assess(4, day => 95 + (0.3 * (day % 2))),
            Assess(9, day => 101 - (0.05 * day) + (0.15 * (day % 3))), Assess(3, _ => 95, SegmentCause.SuddenLoss, 101e5),
        ];
        Assert.Equal(Enum.GetValues<VerdictGround>().Length - 1, all.Select(assessment => assessment.Ground).Distinct().Count());
        Assert.All(all, assessment =>
        {
            string psi = Words(assessment, PressureUnit.Psi);
            Assert.DoesNotContain("bar", psi, StringComparison.Ordinal);
            Assert.EndsWith(".", psi, StringComparison.Ordinal);
            Assert.Equal(assessment.Reason.Contains("bar", StringComparison.Ordinal), psi.Contains("psi", StringComparison.Ordinal));
        });
    }

    /// <summary>Levels ever nearer to their limit, in every unit: the two figures of the sentence stand in the order that it claims.</summary>
    [Theory]
    [InlineData(VerdictGround.LevelBelow, 90, -1)]
    [InlineData(VerdictGround.LevelAbove, 110, 1)]
    public void A_level_said_to_be_beyond_its_limit_is_so_by_the_digits_shown(VerdictGround ground, double limitBarGauge, int sign)
    {
        VesselSpecification vessel = Make.Vessel() with
        {
            LowerLimit = GaugePressure.FromBar(90),
            UpperLimit = GaugePressure.FromBar(110),
        };
        foreach (double offBar in (double[])[5, 0.04, 0.004, 0.0004, 1e-5])
        {
            Assessment now = Assess(40, _ => 95) with
            {
                Ground = ground,
                PrechargePa = vessel.Ambient.Pascals + ((limitBarGauge + (sign * offBar)) * 1e5),
                PrechargeUncertaintyPa = 0.25e5,
            };
            Assert.All(PressureUnit.All, unit =>
            {
                Match figures = Regex.Match(VerdictWords.Reason(vessel, now, unit), @"^Precharge ([\d.]+) \+- ([\d.]+) .* limit of ([\d.]+) ");
                double level = double.Parse(figures.Groups[1].Value, CultureInfo.InvariantCulture);
                double limit = double.Parse(figures.Groups[3].Value, CultureInfo.InvariantCulture);
                Assert.True(sign * (level - limit) > 0, figures.Value);
                Assert.Equal(0.5e5, double.Parse(figures.Groups[2].Value, CultureInfo.InvariantCulture) * unit.PascalsPerUnit, 0.1e5);
            });
        }

        Assert.StartsWith("Precharge 85.0 +- 0.5 bar gauge is below the lower limit of 90.0 bar.", VerdictWords.Reason(
            vessel, Assess(40, _ => 95) with { Ground = VerdictGround.LevelBelow, PrechargePa = vessel.Ambient.Pascals + 85e5, PrechargeUncertaintyPa = 0.25e5 }, PressureUnit.Bar), StringComparison.Ordinal);
    }

    /// <summary>A tick after the 30 days, on the next day, and well after.</summary>
    [Theory]
    [InlineData(30.000001, "No trusted precharge window for more than the 30 days allowed.")]
    [InlineData(30.9, "No trusted precharge window for more than the 30 days allowed.")]
    [InlineData(31.6, "No trusted precharge window for 31 days, longer than the 30 days allowed.")]
    [InlineData(59, "No trusted precharge window for 59 days, longer than the 30 days allowed.")]
    public void Silence_is_longer_than_allowed_by_the_days_shown(double days, string expected) =>
        Assert.Equal(expected, Assess(4, _ => 95, wait: days).Reason);

    /// <summary>A loss that the digits usually shown would not tell from the allowed one.</summary>
    [Fact]
    public void A_loss_said_to_be_above_the_allowed_one_is_so_by_the_digits_shown()
    {
        Assessment falling = Assess(40, day => 101 - (0.1 * day));
        VesselSpecification vessel = Make.Vessel() with { AllowedLossPaPerSecond = 0.9999 * -falling.Fit!.SlopePaPerSecond };
        Match figures = Regex.Match(VerdictWords.Reason(vessel, falling, PressureUnit.Bar), @"^Loss ([\d.]+) .* allowed ([\d.]+) bar/month");
        Assert.True(
            -falling.Fit.SlopePaPerSecond * LossRate.SecondsPerMonth / 1e5 > double.Parse(figures.Groups[2].Value, CultureInfo.InvariantCulture), figures.Value);
    }

    [Fact]
    public void A_document_without_its_ground_keeps_its_sentence()
    {
        Assessment old = Assess(40, _ => 95) with { Ground = null, Reason = "Kept." };
        Assert.Equal("Kept.", Words(old, PressureUnit.Psi));
    }

    /// <summary>A climb of 6 bar in sixty windows; one step of 6 bar; a step that began the segment.</summary>
    [Fact]
    public void A_rise_is_told_by_its_shape()
    {
        var dice = new NormalDice(3);
        double Scatter() => 0.1 * dice.Next();
        Assessment climb = Assess(60, day => 95 + (0.1 * day) + Scatter());
        Assert.Equal(RiseShape.FluidInGasSide, climb.Rising!.Shape);
        Assert.Contains("over 60 windows in 59 days: fluid in the gas side is likely.", climb.Reason, StringComparison.Ordinal);

        Assessment step = Assess(60, day => (day < 25 ? 95 : 101) + Scatter());
        Assert.Equal(RiseShape.UnrecordedCharge, step.Rising!.Shape);
        Assert.Contains("on 2026-01-30, and stayed there: a charge that is not on record is likely.", step.Reason, StringComparison.Ordinal);

        Assessment begun = Assess(3, _ => 101, SegmentCause.UnrecordedCharge, 95e5);
        Assert.Equal(6e5, begun.Rising!.RisePa, 1);
        Assert.Contains("It rose at once, by 6.0 bar on 2026-01-05", begun.Reason, StringComparison.Ordinal);
        Assert.Contains("by 87 psi on 2026-01-05", Words(begun, PressureUnit.Psi), StringComparison.Ordinal);

        Assert.Null(Assess(60, _ => 95 + Scatter()).Rising);
        Assert.Null(Assess(60, day => 95 + (0.01 * day) + Scatter()).Rising);
    }

    /// <summary>A hundredth of a bar is no certainty: to the digits shown it is one tenth, within a limit and beyond it.</summary>
    [Fact]
    public void A_small_uncertainty_of_a_level_is_never_told_as_none()
    {
        foreach (double bar in (double[])[95, 85, 120])
        {
            string told = Words(Assess(40, _ => bar) with { PrechargeUncertaintyPa = 500 }, PressureUnit.Bar);
            Assert.Contains(FormattableString.Invariant($"Precharge {bar - 1:0}.0 +- 0.1 bar gauge"), told, StringComparison.Ordinal);
        }
    }

    private static string Words(Assessment assessment, PressureUnit unit) => VerdictWords.Reason(Make.Vessel(), assessment, unit);

    private static Assessment Assess(
        int count, Func<int, double> bar, SegmentCause cause = SegmentCause.FirstWindow, double? previousPa = null, double wait = 0)
    {
        PrechargeWindow[] points = [.. Enumerable.Range(0, count).Select(day => Make.Window(day, bar(day)))];
        DateTimeOffset last = count > 0 ? points[^1].End : Make.Start;
        var evidence = new VesselEvidence(
            count > 0 ? new TrendSegment(0, points[0].Start, cause) : null, points, TrendSeries.Of(points), previousPa, last, count > 0 ? last : null, "");
        return VerdictJudge.Assess(Make.Vessel(), evidence, last.AddDays(wait));
    }
}
