using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Segments;

/// <summary>What stays in memory of a segment that goes on for years.</summary>
public sealed class SegmentPointsTests
{
    private const int Nights = 1500;
    private readonly List<PrechargeWindow> _told = [];
    private readonly Random _dice = new(20_260_105);

    /// <summary>Checks by hand a half year apart, one on a window's middle, one between two, one before the first and one after the last.</summary>
    private static readonly DateTimeOffset[] Checks = [.. new[] { -5, 180.125, 361.5, 540.9, 2000 }.Select(day => Make.Start.AddDays(day))];

    [Theory]
    [InlineData(WindowEvidence.RestingPlateau, -0.004)]
    [InlineData(WindowEvidence.FluidPressure, -0.004)]
    [InlineData(WindowEvidence.FluidPressure, 0.02)]
    public void Years_in_one_segment_are_kept_in_few_points_and_judged_as_with_all(WindowEvidence evidence, double barANight)
    {
        SegmentKeeper keeper = Keeper();
        for (int night = 0; night < Nights; night++)
        {
            PrechargeWindow window = Night(night, 104 + (barANight * night), evidence);
            _ = keeper.Offer(window);
            Assert.True(keeper.Points.Count <= 96 + (2 * Checks.Length), $"{keeper.Points.Count} points after {night} nights.");
            if (night % 50 == 0)
            {
                PrechargeWindow[] all = [.. Accepted];
                Assert.Equal(
                    Judged(keeper, all, TrendSeries.Of(all), window.End).ToString(),
                    Judged(keeper, keeper.Points, keeper.Series, window.End).ToString());
            }
        }

        Assert.Equal(Accepted.Count(), keeper.Series.Count);
        Assert.InRange(keeper.Series.Count, Nights - 30, Nights);
    }

    [Fact]
    public void Windows_on_both_sides_of_a_check_stay()
    {
        SegmentKeeper keeper = Keeper();
        for (int night = 0; night < Nights; night++)
        {
            _ = keeper.Offer(Night(night, 100, WindowEvidence.FluidPressure));
        }

        PrechargeWindow[] all = [.. Accepted];
        foreach (DateTimeOffset check in Checks)
        {
            Assert.Equal(all.LastOrDefault(point => point.Middle < check), keeper.Points.LastOrDefault(point => point.Middle < check));
            Assert.Equal(all.FirstOrDefault(point => point.Middle >= check), keeper.Points.FirstOrDefault(point => point.Middle >= check));
        }

        Assert.Equal(all[^60..], keeper.Points.TakeLast(60));
        Assert.Equal(all[0], keeper.Points[0]);
    }

    /// <summary>Fluid shut in night after night looks like a charge; when it is gone the old segment goes on as if nothing had been.</summary>
    [Fact]
    public void A_long_segment_goes_on_after_a_charge_that_was_none()
    {
        SegmentKeeper keeper = Keeper();
        for (int night = 0; night < 400; night++)
        {
            _ = keeper.Offer(Night(night, night is >= 300 and < 320 ? 105 : 100, WindowEvidence.RestingPlateau));
        }

        PrechargeWindow[] all = [.. Accepted];
        Assert.Equal((0, all.Length), (keeper.Current!.Number, keeper.Series.Count));
        Assert.DoesNotContain(all, window => window.PrechargePa > 103e5);
        Assert.Equal(
            TrendFitter.Fit(TrendSeries.Of(all), 1, 0.01)!.ToString(),
            TrendFitter.Fit(keeper.Series, 1, 0.01)!.ToString());
    }

    [Fact]
    public void Gone_on_from_a_state_it_is_the_same()
    {
        SegmentKeeper keeper = Keeper();
        for (int night = 0; night < Nights; night++)
        {
            _ = keeper.Offer(Night(night, 104 - (0.004 * night), WindowEvidence.RestingPlateau));
        }

        var again = new SegmentKeeper(Make.Vessel(), [], keeper.State, [.. Accepted], Checks, _ => { });
        DateTimeOffset now = Make.Start.AddDays(Nights);
        Assert.Equal(
            Judged(keeper, keeper.Points, keeper.Series, now).ToString(),
            Judged(again, again.Points, again.Series, now).ToString());
        Assert.Equal(keeper.Points, again.Points);
    }

    private IEnumerable<PrechargeWindow> Accepted => _told
        .GroupBy(window => window.Start).Select(told => told.Last()).Where(window => window.Standing == WindowStanding.Accepted).OrderBy(window => window.Start);

    private SegmentKeeper Keeper() => new(Make.Vessel(), [], SegmentState.Start, [], Checks, _told.Add);

    private PrechargeWindow Night(int night, double bar, WindowEvidence evidence) =>
        Make.Window(night, bar + (0.2 * (_dice.NextDouble() - 0.5)), evidence: evidence);

    private static Assessment Judged(SegmentKeeper keeper, IReadOnlyList<PrechargeWindow> points, TrendSeries series, DateTimeOffset now) =>
        VerdictJudge.Assess(
            Make.Vessel(), new VesselEvidence(keeper.Current, points, series, keeper.State.PreviousLevelPa, now, now, ""), now);
}
