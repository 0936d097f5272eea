using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Prognosis;

public class UsableVolumeLossTests
{
    /// <summary>
    /// Second route: a settled gas of n mol takes n/rho(p); the usable volume is the difference between p1 (126 bar absolute) and p2 (211).
    /// </summary>
    [Theory]
    [InlineData(60e5)]
    [InlineData(91e5)]
    [InlineData(100e5)]
    public void It_is_the_difference_of_the_settled_volumes(double prechargePa)
    {
        double Usable(double pascals) => 50 * Density(pascals) * ((1 / Density(126e5)) - (1 / Density(211e5)));
        UsableVolumeLoss loss = UsableVolumeLoss.At(Make.Vessel(), prechargePa)!.Value;
        Assert.Equal(Usable(101e5) - Usable(prechargePa), loss.Litres, 1e-4);
        Assert.Equal(1 - (Usable(prechargePa) / Usable(101e5)), loss.Share, 1e-5);
    }

    [Fact]
    public void A_precharge_above_the_nominal_loses_nothing_and_without_working_pressures_nothing_is_said()
    {
        Assert.Equal(new UsableVolumeLoss(0, 0), UsableVolumeLoss.At(Make.Vessel(), 103e5));
        Assert.Null(UsableVolumeLoss.At(Make.Vessel() with { LowestWorkingPressure = null }, 95e5));
        Assert.Null(UsableVolumeLoss.At(Make.Vessel() with { HighestWorkingPressure = null }, 95e5));
        Assert.Null(UsableVolumeLoss.At(Make.Vessel(), 0));
    }

    [Fact]
    public void The_recharge_comes_a_week_before_the_earliest_date_and_never_before_now()
    {
        DateTimeOffset now = Make.Start;
        Assert.Equal(now.AddDays(23), RechargeDate.Before(now.AddDays(30), now));
        Assert.Equal(now, RechargeDate.Before(now.AddDays(7), now));
        Assert.Equal(now, RechargeDate.Before(now.AddDays(-100), now));
        Assert.Null(RechargeDate.Before(null, now));
    }

    /// <summary>Windows that fall by 0.1 bar a day from 100 bar (absolute) to the limit of 91: day 90.</summary>
    [Fact]
    public void An_assessment_tells_loss_and_date()
    {
        Assessment falling = Assess(Make.Vessel(), 40, day => 100 - (0.1 * day));
        CrossingForecast forecast = falling.Forecast!;
        Assert.Equal(UsableVolumeLoss.At(Make.Vessel(), 91e5), forecast.LossAtCrossing);
        Assert.Equal(UsableVolumeLoss.At(Make.Vessel(), falling.PrechargePa!.Value), falling.LostUsableVolume);
        Assert.Equal(forecast.Earliest!.Value.AddDays(-7), forecast.RecommendedRecharge);
        Assert.True(forecast.RecommendedRecharge < Make.Start.AddDays(90));

        Assessment bare = Assess(Make.Vessel() with { LowestWorkingPressure = null }, 40, day => 100 - (0.1 * day));
        Assert.Null(bare.LostUsableVolume);
        Assert.Null(bare.Forecast!.LossAtCrossing);
        Assert.Equal(forecast.RecommendedRecharge, bare.Forecast.RecommendedRecharge);
    }

    [Fact]
    public void While_too_little_is_known_no_recharge_is_recommended()
    {
        Assessment two = Assess(Make.Vessel(), 2, day => 100 - day);
        Assert.Equal(Verdict.NotKnownYet, two.Verdict);
        Assert.Null(two.Fit);
        Assert.Null(two.Forecast);

        Assessment young = Assess(Make.Vessel(), 3, _ => 91.1);
        Assert.Equal(Verdict.NotKnownYet, young.Verdict);
        Assert.NotNull(young.Forecast!.Earliest);
        Assert.Null(young.Forecast.RecommendedRecharge);
    }

    private static Assessment Assess(VesselSpecification vessel, int count, Func<int, double> bar)
    {
        PrechargeWindow[] points = [.. Enumerable.Range(0, count).Select(day => Make.Window(day, bar(day)))];
        var evidence = new VesselEvidence(
            new TrendSegment(0, points[0].Start, SegmentCause.FirstWindow), points, TrendSeries.Of(points), null, points[^1].End, points[^1].End, "");
        return VerdictJudge.Assess(vessel, evidence, points[^1].End);
    }

    private static double Density(double pascals) => NitrogenEquation.MolarDensityMolPerM3(293.15, pascals);
}
