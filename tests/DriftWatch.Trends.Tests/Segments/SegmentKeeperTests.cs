using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Segments;

/// <summary>Small stories, a window a night; levels in bar absolute; nominal 101, upper limit 109.</summary>
public class SegmentKeeperTests
{
    private readonly List<PrechargeWindow> _told = [];
    private SegmentKeeper _keeper;

    public SegmentKeeperTests() => _keeper = Keeper();

    [Fact]
    public void The_gas_side_alone_needs_two_rests_that_agree_before_a_level_is_trusted()
    {
        Assert.False(Night(0, 100));
        Assert.Equal(WindowStanding.Ambiguous, Standing(0));
        Assert.Null(_keeper.Current);
        Assert.True(Night(1, 100.1));
        Assert.Equal(2, _keeper.Points.Count);
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal(WindowStanding.Accepted, Standing(0));
    }

    [Fact]
    public void Days_of_one_rest_are_no_second_opinion_but_a_week_is()
    {
        for (int day = 0; day < 7; day++)
        {
            Assert.False(_keeper.Offer(Make.Window(day, 100, rest: 7)));
        }

        Assert.True(_keeper.Offer(Make.Window(7, 100, rest: 7)));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal(8, _keeper.Points.Count);
    }

    /// <summary>4 bar a month for a month, and then no more: what was expected goes on down, and the gas stays where it was last seen. Nobody charged.</summary>
    [Theory]
    [InlineData(WindowEvidence.RestingPlateau)]
    [InlineData(WindowEvidence.FluidPressure)]
    public void A_leak_that_ends_is_no_charge(WindowEvidence evidence)
    {
        for (int day = 0; day < 60; day++)
        {
            _keeper.Offer(Make.Window(day, 100 - (4 / 30.0 * Math.Min(day, 30)), evidence: evidence));
        }

        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal(60, _keeper.Points.Count);
    }

    /// <summary>Into such a leak somebody charges: that lifts the gas above where it was last seen.</summary>
    [Theory]
    [InlineData(WindowEvidence.RestingPlateau)]
    [InlineData(WindowEvidence.FluidPressure)]
    public void A_charge_into_a_leak_is_a_charge(WindowEvidence evidence)
    {
        for (int day = 0; day < 36; day++)
        {
            _keeper.Offer(Make.Window(day, 100 - (4 / 30.0 * (day < 30 ? day : day - 15)), evidence: evidence));
        }

        Assert.Equal(SegmentCause.UnrecordedCharge, _keeper.Current!.Cause);
        Assert.Equal(96.1e5, _keeper.State.PreviousLevelPa!.Value, 0.2e5);
    }

    /// <summary>A vessel that always rests shows cuts of one rest: weeks of them make its level as firm as nights of work do.</summary>
    [Fact]
    public void A_drop_at_a_vessel_that_always_rests_is_a_sudden_loss_and_leaves_the_record_alone()
    {
        for (int day = 0; day < 200; day++)
        {
            _keeper.Offer(Make.Window(day, 100, rest: 7));
        }

        Assert.False(_keeper.Offer(Make.Window(200, 95, rest: 7)));
        Assert.False(_keeper.Offer(Make.Window(201, 95, rest: 7)));
        Assert.True(_keeper.Offer(Make.Window(202, 95, rest: 7)));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal(100e5, _keeper.State.PreviousLevelPa!.Value, 0.1e5);
        Assert.All(Enumerable.Range(0, 203), day => Assert.Equal(WindowStanding.Accepted, Standing(day)));
    }

    /// <summary>Up to two weeks of one rest may be fluid shut in since the first day.</summary>
    [Fact]
    public void The_first_weeks_of_one_rest_are_taken_back_when_a_lower_level_follows()
    {
        for (int day = 0; day <= 14; day++)
        {
            _keeper.Offer(Make.Window(day, 100, rest: 7));
        }

        Assert.False(_keeper.Offer(Make.Window(15, 95, rest: 7)));
        Assert.True(_keeper.Offer(Make.Window(16, 95, rest: 7)));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal([15, 16], PointDays);
    }

    [Fact]
    public void A_long_weekend_with_fluid_shut_in_is_no_charge()
    {
        Seed();
        foreach (double day in new[] { 2.0, 3, 4, 5 })
        {
            Assert.False(_keeper.Offer(Make.Window(day, 105, rest: 1000)));
        }

        Assert.True(Night(6, 100));
        Assert.Equal([0, 1, 6], PointDays);
    }

    /// <summary>A plateau that falls is fluid seeping out until it lies below the precharge; where the fluid side is known to be released it has not settled.</summary>
    [Theory]
    [InlineData(WindowEvidence.RestingPlateau, "Trapped fluid")]
    [InlineData(WindowEvidence.FluidPressure, "not settled")]
    public void A_rest_that_falls_proves_nothing_but_a_loss(WindowEvidence evidence, string reason)
    {
        for (int day = 0; day < 6; day++)
        {
            _keeper.Offer(Make.Window(day, 100, evidence: evidence));
        }

        for (int day = 6; day < 12; day++)
        {
            Assert.False(_keeper.Offer(Falling(day, day % 2 == 0 ? 100 : 104, evidence)));
            Assert.Contains(reason, _told[^1].Reason, StringComparison.Ordinal);
        }

        Assert.False(_keeper.Offer(Falling(12, 95, evidence)));
        Assert.Equal(WindowStanding.Ambiguous, Standing(12));
        Assert.True(_keeper.Offer(Falling(13, 91, evidence)));
        Assert.Equal((SegmentCause.SuddenLoss, 2), (_keeper.Current!.Cause, _keeper.Points.Count));
        Assert.Equal(100e5, _keeper.State.PreviousLevelPa!.Value, 0.5e5);

        // The same fall goes on: no other segment, and each rest is a point.
        Assert.True(_keeper.Offer(Falling(14, 87, evidence)));
        Assert.True(_keeper.Offer(Falling(15, 60, evidence)));
        Assert.Equal([12, 13, 14, 15], PointDays);
    }

    [Theory]
    [InlineData(WindowEvidence.RestingPlateau)]
    [InlineData(WindowEvidence.FluidPressure)]
    public void One_rest_that_falls_to_a_tenth_below_is_a_loss(WindowEvidence evidence)
    {
        for (int day = 0; day < 6; day++)
        {
            _keeper.Offer(Make.Window(day, 100, evidence: evidence));
        }

        Assert.True(_keeper.Offer(Falling(6, 85, evidence)));
        Assert.Equal((SegmentCause.SuddenLoss, 1), (_keeper.Current!.Cause, _keeper.Points.Count));
    }

    private static PrechargeWindow Falling(double day, double bar, WindowEvidence evidence) => Make.Window(day, bar, evidence: evidence) with { Falls = true };

    /// <summary>With no level trusted: two plateaus below the lower limit (91 bar absolute), the later the lower, need not agree. Above it they have to.</summary>
    [Fact]
    public void Plateaus_below_the_lower_limit_show_that_the_precharge_is_no_higher()
    {
        Assert.False(_keeper.Offer(Make.Window(0, 97), restSank: true));
        Assert.Equal(WindowStanding.Rejected, Standing(0));
        Assert.False(Night(1, 94));
        Assert.False(_keeper.Offer(Make.Window(2, 90), restSank: true));
        Assert.False(_keeper.Offer(Make.Window(2.5, 86, rest: 48), restSank: true));
        Assert.True(_keeper.Offer(Make.Window(3, 83), restSank: true));
        Assert.Equal([2, 2.5, 3], PointDays);
    }

    /// <summary>A vessel that never works: its one rest counts as several once it has stood for weeks, so that a loss is said and not taken for the end of trapped fluid.</summary>
    [Fact]
    public void A_loss_after_weeks_of_one_rest_is_a_loss()
    {
        for (int day = 0; day < 20; day++)
        {
            _keeper.Offer(Make.Window(day, 100, rest: 7));
        }

        for (int day = 20; day < 23; day++)
        {
            _keeper.Offer(Make.Window(day, 93, rest: 8));
        }

        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal([20, 21, 22], PointDays);
    }

    [Fact]
    public void A_first_level_that_was_trapped_fluid_is_no_sudden_loss_afterwards()
    {
        Night(0, 106);
        Assert.True(Night(1, 106));
        Assert.False(Night(2, 100));
        Assert.True(Night(3, 100));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal([2, 3], PointDays);
        Assert.Equal(WindowStanding.Rejected, Standing(0));
        Assert.Null(_keeper.State.PreviousLevelPa);
    }

    [Fact]
    public void With_the_fluid_side_known_to_be_released_the_first_window_is_trusted()
    {
        Assert.True(_keeper.Offer(Make.Window(0, 100, evidence: WindowEvidence.FluidPressure)));
        Assert.Single(_keeper.Points);
    }

    [Fact]
    public void Plateaus_above_the_upper_limit_are_not_the_first_level_without_a_charge_on_record()
    {
        Night(0, 115);
        Assert.False(Night(1, 115));
        _keeper = Keeper(Charge(-1));
        Night(2, 115);
        Assert.True(Night(3, 115));
        Assert.Equal(SegmentCause.RecordedCharge, _keeper.Current!.Cause);
        Assert.Equal(Make.Start.AddDays(-1), _keeper.Current.Start);
    }

    [Fact]
    public void A_night_with_trapped_fluid_is_rejected_by_the_next_rest()
    {
        Seed();
        Assert.False(Night(2, 103));
        Assert.Equal(WindowStanding.Ambiguous, Standing(2));
        Assert.True(Night(3, 100));
        Assert.Equal(WindowStanding.Rejected, Standing(2));
        Assert.Contains("Trapped fluid", Last(2).Reason, StringComparison.Ordinal);
        Assert.Equal([0, 1, 3], PointDays);
    }

    [Fact]
    public void An_unrecorded_charge_is_believed_at_the_third_rest_that_agrees()
    {
        Seed();
        Night(2, 105);
        Assert.False(Night(3, 105.1));
        Assert.True(Night(4, 104.9));
        Assert.Equal(SegmentCause.UnrecordedCharge, _keeper.Current!.Cause);
        Assert.Equal(Make.Window(2, 105).Start, _keeper.Current.Start);
        Assert.Equal([2, 3, 4], PointDays);
    }

    [Fact]
    public void Trapped_fluid_at_levels_that_differ_is_no_charge()
    {
        Seed();
        foreach ((double day, double bar) in new (double, double)[] { (2, 103), (3, 106), (4, 102.5), (5, 107) })
        {
            Assert.False(Night(day, bar));
        }

        Assert.True(Night(6, 100));
        Assert.Equal([0, 1, 6], PointDays);
    }

    [Fact]
    public void An_unrecorded_charge_beyond_the_upper_limit_is_not_believed_from_the_gas_side_alone()
    {
        Seed();
        for (int day = 2; day < 8; day++)
        {
            Assert.False(Night(day, 115));
        }

        Assert.True(_keeper.Offer(Make.Window(8, 115, evidence: WindowEvidence.Contact)) || _keeper.Offer(Make.Window(9, 115, evidence: WindowEvidence.Contact)));
        Assert.Equal(SegmentCause.UnrecordedCharge, _keeper.Current!.Cause);
    }

    [Fact]
    public void A_charge_that_proves_to_be_trapped_fluid_is_taken_back()
    {
        Seed();
        Night(2, 105);
        Night(3, 105);
        Night(4, 105);
        Night(5, 100.05);
        Assert.Equal(SegmentCause.UnrecordedCharge, _keeper.Current!.Cause);
        Assert.True(Night(6, 99.95));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal([0, 1, 5, 6], PointDays);
        Assert.All([2.0, 3, 4], day => Assert.Equal(WindowStanding.Rejected, Standing(day)));
        Assert.All([2.0, 3, 4], day => Assert.Equal(-1, Last(day).Segment));
        Assert.Null(_keeper.State.Suspended);
    }

    /// <summary>Nobody may go on from a state that lies between the points that were taken back and the reading that took them back.</summary>
    [Fact]
    public void It_is_remembered_when_points_were_taken_back()
    {
        Seed();
        foreach (double day in new[] { 2.0, 3, 4 })
        {
            Night(day, 105);
        }

        Night(5, 100);
        DateTimeOffset now = Make.Start.AddDays(6.8);
        Assert.True(_keeper.Offer(Make.Window(6, 100), judgedAt: now));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal(now, _keeper.State.LastRevocation);
    }

    /// <summary>Taken up from the record: points, a charge, and a window that nothing has decided yet.</summary>
    [Fact]
    public void A_charge_that_only_an_undecided_window_follows_ends_the_segment_taken_up_from_the_record()
    {
        SegmentKeeper keeper = Keeper(Charge(10));
        foreach (double day in new[] { 0.0, 1, 2 })
        {
            keeper.Restore(Make.Window(day, 95) with { Segment = 0 });
        }

        keeper.Restore(Make.Window(11, 100) with { Standing = WindowStanding.Ambiguous });
        Assert.Empty(keeper.Points);
        Assert.True(keeper.Offer(Make.Window(12, 100)));
        Assert.Equal(SegmentCause.RecordedCharge, keeper.Current!.Cause);
    }

    [Fact]
    public void After_a_month_an_unrecorded_charge_is_no_longer_doubted()
    {
        Seed();
        for (int day = 2; day < 36; day++)
        {
            Night(day, 105);
        }

        Night(36, 100);
        Night(37, 100);
        Assert.True(Night(38, 100));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal([36, 37, 38], PointDays);
    }

    [Fact]
    public void A_sudden_loss_is_believed_at_the_third_window_and_remembers_the_level_before()
    {
        Seed();
        Assert.False(Night(4, 96));
        Assert.False(Night(5, 96));
        Assert.True(Night(6, 96));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal(100e5, _keeper.State.PreviousLevelPa!.Value, 0.1e5);
        Assert.Equal([4, 5, 6], PointDays);
    }

    /// <summary>Nearly all gas gone, and a tenth of it: both too deep to be an error, so that the next night's window is enough.</summary>
    [Theory]
    [InlineData(2)]
    [InlineData(89)]
    public void A_burst_bladder_is_believed_at_the_second_window(double bar)
    {
        Seed();
        Assert.False(Night(4, bar));
        Assert.True(Night(5, bar));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal([4, 5], PointDays);
    }

    [Fact]
    public void A_vessel_with_gross_errors_needs_four_windows_for_a_loss()
    {
        Seed();
        foreach (int day in new[] { 4, 6, 8 })
        {
            Night(day, 95);
            Assert.True(Night(day + 1, 100));
        }

        Assert.Equal(3, _keeper.State.Alone);
        Assert.False(Night(10, 89));
        Assert.False(Night(11, 89));
        Assert.False(Night(12, 89));
        Assert.True(Night(13, 89));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
    }

    /// <summary>With the fluid side known to be released one window is trusted at once; should it be an error, three others say so.</summary>
    [Theory]
    [InlineData(95)]
    [InlineData(104)]
    public void A_first_window_that_was_a_gross_error_is_outvoted(double others)
    {
        _keeper.Offer(Make.Window(0, 100, evidence: WindowEvidence.FluidPressure));
        Assert.False(_keeper.Offer(Make.Window(1, others, evidence: WindowEvidence.FluidPressure)));
        Assert.False(_keeper.Offer(Make.Window(2, others, evidence: WindowEvidence.FluidPressure)));
        Assert.True(_keeper.Offer(Make.Window(3, others, evidence: WindowEvidence.FluidPressure)));
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal([1, 2, 3], PointDays);
        Assert.Equal(WindowStanding.Rejected, Standing(0));
    }

    /// <summary>A sensor that scatters three times as much as its budget says widens what counts as near, and one that scatters less does not narrow it.</summary>
    [Theory]
    [InlineData(0.3, 2, 4)]
    [InlineData(0.02, 0.05, 1)]
    public void The_scatter_of_the_windows_is_learnt(double bar, double least, double most)
    {
        var dice = new NormalDice(11);
        for (int day = 0; day < 400; day++)
        {
            Night(day, 100 + (bar * dice.Next()));
        }

        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.InRange(_keeper.State.Scatter, least, most);
    }

    [Fact]
    public void A_single_low_reading_is_rejected()
    {
        Seed();
        Night(2, 96);
        Assert.True(Night(3, 100));
        Assert.Equal(WindowStanding.Rejected, Standing(2));
        Assert.Contains("low", Last(2).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Ever_lower_windows_confirm_each_other()
    {
        Seed();
        Night(4, 95);
        Night(5, 93);
        Assert.True(Night(6, 88));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
    }

    [Fact]
    public void A_trapped_night_between_does_not_hide_a_loss()
    {
        Seed();
        Night(4, 95);
        Night(5, 106);
        Night(6, 95);
        Night(7, 95);
        Assert.True(Night(8, 95));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
        Assert.Equal(WindowStanding.Rejected, Standing(5));
    }

    [Fact]
    public void A_recorded_charge_starts_a_new_segment_and_settles_what_waited()
    {
        _keeper = Keeper(Charge(2.5));
        Seed();
        Night(2, 104);
        Assert.True(Night(3, 104));
        Assert.Null(_keeper.Current);
        Assert.Equal(WindowStanding.Rejected, Standing(2));
        Assert.True(Night(4, 104));
        Assert.Equal(SegmentCause.RecordedCharge, _keeper.Current!.Cause);
        Assert.Equal(Make.Start.AddDays(2.5), _keeper.Current.Start);
        Assert.Equal([3, 4], PointDays);
        Assert.Null(_keeper.State.PreviousLevelPa);
    }

    [Fact]
    public void Another_level_after_a_change_of_the_transducer_on_record_is_neither_loss_nor_charge()
    {
        _keeper = Keeper(Change(2.5));
        Seed();
        Night(3, 96);
        Assert.Null(_keeper.Current);
        Assert.True(Night(4, 96));
        Assert.Equal(new TrendSegment(1, Make.Start.AddDays(2.5), SegmentCause.RecordedTransducerChange), _keeper.Current);
        Assert.Equal([3, 4], PointDays);
        Assert.Null(_keeper.State.PreviousLevelPa);
    }

    [Fact]
    public void A_change_of_the_transducer_does_not_vouch_for_a_level_above_the_upper_limit_as_a_charge_does()
    {
        _keeper = Keeper(Change(2.5));
        Seed();
        Night(3, 111);
        Night(4, 111);
        Assert.Null(_keeper.Current);

        _keeper = Keeper(Charge(2.5));
        Seed();
        Night(3, 111);
        Night(4, 111);
        Assert.Equal(SegmentCause.RecordedCharge, _keeper.Current?.Cause);
    }

    [Fact]
    public void A_charge_before_the_change_of_the_transducer_stays_the_cause()
    {
        _keeper = Keeper(Charge(2.5), Change(2.6));
        Seed();
        Night(3, 104);
        Night(4, 104);
        Assert.Equal(new TrendSegment(1, Make.Start.AddDays(2.5), SegmentCause.RecordedCharge), _keeper.Current);
    }

    /// <summary>Gas runs out and stays out: that is no rise, and there is no level below the pressure around the vessel.</summary>
    [Theory]
    [InlineData(0.3)]
    [InlineData(0.8)]
    [InlineData(3)]
    public void A_vessel_that_runs_empty_stays_at_nothing(double barPerWindow)
    {
        for (int i = 0; i < 220; i++)
        {
            PrechargeWindow window = Make.Window(i / 12.0, Math.Max(1, 41 - (barPerWindow * i)), evidence: WindowEvidence.FluidPressure);
            _ = _keeper.Offer(window);
            Assessment now = VerdictJudge.Assess(
                Make.Vessel(), new VesselEvidence(_keeper.Current, _keeper.Points, _keeper.Series, _keeper.State.PreviousLevelPa, window.End, window.End, ""), window.End);
            Assert.True(now.PrechargePa > 0.7e5, $"window {i}: {now.PrechargePa}");
            Assert.DoesNotContain("rose", now.Reason, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Fluid_that_seeps_out_proves_nothing_but_a_loss()
    {
        Assert.False(_keeper.Offer(Make.Window(-9, 100.3), restSank: true));
        Assert.Equal(WindowStanding.Rejected, Standing(-9));
        Seed();
        Assert.False(_keeper.Offer(Make.Window(2, 100.3), restSank: true));
        Assert.Equal(WindowStanding.Rejected, Standing(2));
        Assert.False(_keeper.Offer(Make.Window(3, 95), restSank: true));
        Assert.Equal(WindowStanding.Ambiguous, Standing(3));
        Assert.False(_keeper.Offer(Make.Window(4, 95), restSank: true));
        Assert.True(_keeper.Offer(Make.Window(5, 95), restSank: true));
        Assert.Equal(SegmentCause.SuddenLoss, _keeper.Current!.Cause);
    }

    [Fact]
    public void What_waits_is_bounded_and_the_oldest_gives_way()
    {
        Seed();
        for (int i = 0; i < 12; i++)
        {
            Night(2 + i, 102 + (1.2 * (i % 5)));
        }

        Assert.Equal(8, _keeper.State.Pending.Count);
        Assert.Equal(WindowStanding.Rejected, Standing(2));
        Assert.Equal(WindowStanding.Ambiguous, Standing(13));
    }

    [Fact]
    public void A_leak_is_followed_without_a_break_over_two_silent_months()
    {
        for (int day = 0; day < 30; day++)
        {
            Night(day, 100 - (0.05 * day));
        }

        Assert.True(Night(60, 97));
        Assert.Equal(31, _keeper.Points.Count);
        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
    }

    /// <summary>
    /// A line through windows of a year lags behind a loss that begins in it. 0.7 of the allowed bar a month, a window a fortnight: the line
    /// stands 2.4 bar too high at worst, and 0.8 bar of band and half a month's allowed loss alone would make a sudden loss of it.
    /// </summary>
    [Fact]
    public void A_loss_within_the_allowed_that_begins_late_is_no_sudden_loss()
    {
        for (int day = 0; day < 1000; day += 15)
        {
            _keeper.Offer(Make.Window(day, 100 - (0.7 / 30.4375 * Math.Max(0, day - 400)), evidence: WindowEvidence.FluidPressure));
        }

        Assert.Equal(SegmentCause.FirstWindow, _keeper.Current!.Cause);
        Assert.Equal(67, _keeper.Points.Count);
    }

    private IEnumerable<double> PointDays => _keeper.Points.Select(point => (point.Start - Make.Start).TotalDays).Where(day => day >= 0);

    private SegmentKeeper Keeper(params GasSideWork[] work) => new(Make.Vessel(), work, SegmentState.Start, [], [], _told.Add);

    private static GasSideWork Charge(double day) => new(Make.Start.AddDays(day), GasSideWorkKind.Charge);

    private static GasSideWork Change(double day) => new(Make.Start.AddDays(day), GasSideWorkKind.TransducerChange);

    /// <summary>Five nights at 100 bar, the last of them day 1.</summary>
    private void Seed()
    {
        for (int day = -3; day <= 1; day++)
        {
            Night(day, 100);
        }
    }

    private bool Night(double day, double bar) => _keeper.Offer(Make.Window(day, bar));

    private PrechargeWindow Last(double day) => _told.Last(window => window.Start == Make.Start.AddDays(day));

    private WindowStanding Standing(double day) => Last(day).Standing;
}
