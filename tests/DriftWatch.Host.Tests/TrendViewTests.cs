using DriftWatch.Host.Web.Vessels;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Tests;

/// <summary>The trend that a vessel's page draws.</summary>
public sealed class TrendViewTests
{
    private static readonly DateTimeOffset Day = new(2026, 3, 4, 6, 0, 0, TimeSpan.Zero);

    /// <summary>A loss of 2 % a month of what is left over two years: the line that would stand for it ends a bar too low.</summary>
    [Fact]
    public void Where_the_data_call_for_a_curve_it_is_drawn()
    {
        Vessel vessel = SampleReadings.Register().Vessels[0];
        double perSecond = 0.02 / LossRate.SecondsPerMonth;
        var curve = new FirstOrderLoss(Day.AddDays(-360), 80e5, perSecond, 1e-4, 1e-3 * perSecond);
        var fit = new TrendFit
        {
            Origin = curve.Origin,
            LevelPa = 81e5,
            SlopePaPerSecond = -1.05 * perSecond * 80e5,
            LevelRandomUncertaintyPa = 0.05e5,
            SharedUncertaintyPa = 0.2e5,
            SlopeUncertaintyPaPerSecond = 0.05 * perSecond * 80e5,
            CoverageFactor95 = 2,
            PointCount = 720,
            DegreesOfFreedom = 700,
            FirstPoint = Day.AddDays(-720),
            LastPoint = Day,
            SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
            SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
            FirstOrder = curve,
            IsCurved = true,
        };
        var assessment = new Assessment { AsOf = Day, Verdict = Verdict.WithinLimits, Reason = "", PointCount = 720, Fit = fit };
        TrendView view = TrendView.Compose(vessel, [], assessment, default);
        Assert.All(view.Line, point => Assert.Equal(
            80e5 * Math.Exp(-perSecond * (point.Instant - curve.Origin).TotalSeconds), point.LevelPa, 1));
        Assert.Equal(Day, view.Line.Last(point => !point.Ahead).Instant);
    }
}
