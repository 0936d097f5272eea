using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Tests.Following;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Alarms;

public class AlarmConditionerTests
{
    private AlarmConditions _conditions = AlarmConditions.Start;
    private AlarmHandling _handling = AlarmHandling.Usual;

    /// <summary>A tenth of a bar to and fro over the limit, twice a day for two months: one alarm, no chatter.</summary>
    [Fact]
    public void A_vessel_on_the_edge_comes_once_and_does_not_chatter()
    {
        List<AlarmChange> changes = [];
        for (int half = 0; half < 120; half++)
        {
            bool below = half % 4 < 2;
            changes.AddRange(Take(half / 2.0, below ? Verdict.BelowLowerLimit : Verdict.WithinLimits, below ? 89.9 : 90.1));
        }

        Assert.Equal(
            [(AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOn), (AlarmKind.FallingFasterThanAllowed, AlarmEvent.SuppressedByRule)],
            changes.Select(change => (change.Kind, change.What)));
        // 1 % of 100 bar above the limit of 90 bar, for a day.
        Assert.Empty(Take(61, Verdict.WithinLimits, 91));
        Assert.Equal(
            [(AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOff, Bench.Start.AddDays(62)), (AlarmKind.FallingFasterThanAllowed, AlarmEvent.ReleasedByRule, Bench.Start.AddDays(62))],
            Pass(70).Select(change => (change.Kind, change.What, change.At)));
    }

    [Fact]
    public void A_single_dip_shorter_than_the_delay_brings_no_alarm()
    {
        Assert.Empty(Take(0, Verdict.BelowLowerLimit, 89.9));
        Assert.Empty(Take(0.2, Verdict.WithinLimits, 92));
        Assert.Empty(Pass(10));
    }

    [Theory]
    [InlineData(Verdict.NotKnownYet)]
    [InlineData(Verdict.NoWindowTooLong)]
    public void No_news_is_not_good_news(Verdict verdict)
    {
        Take(0, Verdict.BelowLowerLimit, 85);
        Pass(1);
        Take(40, verdict, segment: -1, windowDay: 0);
        Assert.DoesNotContain(Pass(100), change => change.Kind == AlarmKind.BelowLowerLimit);
        Assert.Contains(_conditions.Listed, condition => condition is { Kind: AlarmKind.BelowLowerLimit, On: true });
    }

    [Fact]
    public void A_graver_alarm_suppresses_by_design_what_it_says_already()
    {
        Assert.Equal(AlarmEvent.ConditionOn, Assert.Single(Take(0, Verdict.FallingFasterThanAllowed, 92, earliestDay: 30)).What);
        Take(10, Verdict.BelowLowerLimit, 89);
        Assert.Equal(
            [(AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOn), (AlarmKind.FallingFasterThanAllowed, AlarmEvent.SuppressedByRule)],
            Pass(11).Select(change => (change.Kind, change.What)));
        List<AlarmChange> gone = Take(12, Verdict.BelowLowerLimit, 5);
        Assert.Equal(
            [(AlarmKind.PrechargeNearlyGone, AlarmEvent.ConditionOn), (AlarmKind.BelowLowerLimit, AlarmEvent.SuppressedByRule), (AlarmKind.BelowLowerLimit, AlarmEvent.PriorityRaised)],
            gone.Select(change => (change.Kind, change.What)));
        Assert.Equal(Priority.High, gone[0].Priority);
    }

    [Fact]
    public void The_priority_rises_as_the_crossing_comes_near_and_never_falls_while_it_stands()
    {
        Assert.Equal(Priority.Low, Assert.Single(Take(0, Verdict.FallingFasterThanAllowed, earliestDay: 60)).Priority);
        Assert.Empty(Take(1, Verdict.FallingFasterThanAllowed, earliestDay: 50));
        Assert.Equal((AlarmEvent.PriorityRaised, Priority.Medium), What(Take(2, Verdict.FallingFasterThanAllowed, earliestDay: 12)));
        Assert.Empty(Take(3, Verdict.FallingFasterThanAllowed, earliestDay: 60));
        Assert.Equal((AlarmEvent.PriorityRaised, Priority.High), What(Take(4, Verdict.FallingFasterThanAllowed, earliestDay: 5)));
    }

    [Fact]
    public void A_charge_ends_the_alarm_of_a_leak_after_its_delay()
    {
        Take(0, Verdict.FallingFasterThanAllowed);
        Assert.Empty(Take(9, Verdict.NotKnownYet, 100, 1, SegmentCause.RecordedCharge));
        Assert.Equal(AlarmEvent.ConditionOff, Assert.Single(Pass(20)).What);
    }

    /// <summary>A leak proven in the stretch that a charge began: the charge lies before it and does not end it.</summary>
    [Theory]
    [InlineData(SegmentCause.RecordedCharge, Verdict.NoWindowTooLong)]
    [InlineData(SegmentCause.RecordedCharge, Verdict.BelowLowerLimit)]
    [InlineData(SegmentCause.RecordedCharge, Verdict.NotKnownYet)]
    [InlineData(SegmentCause.UnrecordedCharge, Verdict.NoWindowTooLong)]
    [InlineData(SegmentCause.UnrecordedCharge, Verdict.BelowLowerLimit)]
    [InlineData(SegmentCause.UnrecordedCharge, Verdict.NotKnownYet)]
    public void A_leak_after_a_charge_stands_until_good_news_or_the_next_charge(SegmentCause cause, Verdict then)
    {
        Take(0, Verdict.FallingFasterThanAllowed);
        Take(9, Verdict.NotKnownYet, 100, 1, cause);
        Take(10, Verdict.FallingFasterThanAllowed, 98, 1, cause);
        List<AlarmChange> changes = [.. Take(40, then, 89, 1, cause), .. Pass(100)];
        Assert.DoesNotContain(changes, change => change is { Kind: AlarmKind.FallingFasterThanAllowed, What: AlarmEvent.ConditionOff });

        // Gone by the news that it holds, and by another charge.
        AlarmConditions standing = _conditions;
        Take(100, Verdict.WithinLimits, 98, 1, cause);
        Assert.Contains(Pass(110), change => change is { Kind: AlarmKind.FallingFasterThanAllowed, What: AlarmEvent.ConditionOff });
        _conditions = standing;
        Take(100, Verdict.NotKnownYet, 100, 2, SegmentCause.RecordedCharge);
        Assert.Contains(Pass(110), change => change is { Kind: AlarmKind.FallingFasterThanAllowed, What: AlarmEvent.ConditionOff });
    }

    /// <summary>Two vessels of the sample plant leak in the stretch after a charge; then nothing more is heard of them.</summary>
    [Theory]
    [InlineData("HY1-A1")]
    [InlineData("HY1-A2")]
    public void A_sample_vessel_that_leaks_and_falls_silent_keeps_its_alarm_and_its_job(string id)
    {
        Follow follow = Follow.Whole(id);
        DateTimeOffset end = follow.Follower.LastReading;
        Assert.Equal(Verdict.FallingFasterThanAllowed, follow.Follower.Assess(end).Verdict);
        follow.Follower.AdvanceTo(end.AddDays(59));
        Assert.NotEqual(Verdict.FallingFasterThanAllowed, follow.Follower.Assess(end.AddDays(59)).Verdict);
        Assert.DoesNotContain(follow.Follower.TakeAlarmChanges(), change => change.What == AlarmEvent.ConditionOff);
        Assert.DoesNotContain(follow.Follower.TakeNotices(), notice => notice is { State: JobState.Closed, End: not JobEnd.Superseded });
    }

    /// <summary>Whatever stands when the vessel falls silent, the level at its last window included, stands on.</summary>
    [Theory]
    [InlineData(Verdict.BelowLowerLimit, AlarmKind.PrechargeNearlyGone, 5)]
    [InlineData(Verdict.BelowLowerLimit, AlarmKind.BelowLowerLimit, 89)]
    [InlineData(Verdict.AboveUpperLimit, AlarmKind.AboveUpperLimit, 109)]
    [InlineData(Verdict.FallingFasterThanAllowed, AlarmKind.FallingFasterThanAllowed, 95)]
    public void Silence_ends_no_alarm(Verdict verdict, AlarmKind kind, double barGauge)
    {
        Take(0, verdict, barGauge);
        Pass(1);
        Take(31, Verdict.NoWindowTooLong, 100, windowDay: 0);
        Assert.DoesNotContain(Pass(200), change => change.What == AlarmEvent.ConditionOff);
        Assert.Contains(_conditions.Listed, condition => condition.Kind == kind && condition is { On: true, PendingSince: null });
    }

    /// <summary>The level's off-delay is a day, the leak's three: in between the leak is not news again.</summary>
    [Fact]
    public void A_charge_that_ends_both_does_not_announce_the_lesser_one_anew()
    {
        Take(0, Verdict.FallingFasterThanAllowed, 92);
        Take(10, Verdict.BelowLowerLimit, 89);
        Pass(11);
        Take(12, Verdict.NotKnownYet, 100, 1, SegmentCause.RecordedCharge);
        Assert.Equal(
            [
                (AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOff, Bench.Start.AddDays(13)),
                (AlarmKind.FallingFasterThanAllowed, AlarmEvent.ConditionOff, Bench.Start.AddDays(15)),
                (AlarmKind.FallingFasterThanAllowed, AlarmEvent.ReleasedByRule, Bench.Start.AddDays(15)),
            ],
            Pass(30).Select(change => (change.Kind, change.What, change.At)));
    }

    [Fact]
    public void The_delays_and_deadbands_of_the_plant_count()
    {
        _handling = new()
        {
            OnDelay = new AlarmOnDelays { BelowLowerLimit = TimeSpan.FromDays(2) },
            OffDelay = new AlarmOffDelays { BelowLowerLimit = TimeSpan.FromDays(4) },
            DeadbandPercent = new AlarmDeadbands { BelowLowerLimit = 5 },
        };
        Assert.Empty(Take(0, Verdict.BelowLowerLimit, 85));
        Assert.Equal((AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOn, Bench.Start.AddDays(2)), Moment(Pass(3), AlarmKind.BelowLowerLimit));

        // 5 % of 100 bar above the limit of 90 bar: not yet at 94.9, and from 95 on four days.
        Assert.Empty(Take(4, Verdict.WithinLimits, 94.9));
        Assert.Empty(Pass(20));
        Take(20, Verdict.WithinLimits, 95);
        Assert.Equal((AlarmKind.BelowLowerLimit, AlarmEvent.ConditionOff, Bench.Start.AddDays(24)), Moment(Pass(30), AlarmKind.BelowLowerLimit));
    }

    [Theory]
    [InlineData(Verdict.BelowLowerLimit, 85)]
    [InlineData(Verdict.AboveUpperLimit, 109)]
    public void A_vessel_charged_to_its_nominal_precharge_is_back_however_wide_the_deadband(Verdict verdict, double barGauge)
    {
        _handling = new() { DeadbandPercent = new AlarmDeadbands { BelowLowerLimit = 20, AboveUpperLimit = 20 } };
        Take(0, verdict, barGauge);
        Assert.NotEmpty(Pass(1));
        Take(2, Verdict.WithinLimits, 100);
        Assert.Contains(Pass(10), change => change.What == AlarmEvent.ConditionOff);
    }

    [Fact]
    public void The_deadband_below_the_upper_limit_stands_by_itself()
    {
        _handling = new()
        {
            OnDelay = new AlarmOnDelays { AboveUpperLimit = TimeSpan.Zero },
            OffDelay = new AlarmOffDelays { AboveUpperLimit = TimeSpan.Zero },
            DeadbandPercent = new AlarmDeadbands { AboveUpperLimit = 3 },
        };
        Assert.Equal(AlarmEvent.ConditionOn, Assert.Single(Take(0, Verdict.AboveUpperLimit, 109)).What);
        Assert.Empty(Take(1, Verdict.WithinLimits, 105.1));
        Assert.Equal(AlarmEvent.ConditionOff, Assert.Single(Take(2, Verdict.WithinLimits, 105)).What);
    }

    private static (AlarmKind Kind, AlarmEvent What, DateTimeOffset At) Moment(List<AlarmChange> changes, AlarmKind kind) =>
        Assert.Single(changes.Where(change => change.Kind == kind).Select(change => (change.Kind, change.What, change.At)));

    private static (AlarmEvent What, Priority Priority) What(List<AlarmChange> changes) =>
        (Assert.Single(changes).What, changes[0].Priority);

    private List<AlarmChange> Take(
        double day, Verdict verdict, double barGauge = 95, int segment = 0, SegmentCause cause = SegmentCause.FirstWindow,
        double? earliestDay = null, double? windowDay = null)
    {
        List<AlarmChange> changes = Pass(day);
        (_conditions, IReadOnlyList<AlarmChange> own) = AlarmConditioner.Advance(
            Bench.Vessel(), _conditions, _handling, Bench.Day(day, verdict, barGauge, segment, cause, earliestDay, windowDay));
        return [.. changes, .. own];
    }

    /// <summary>Delays end at their own moments.</summary>
    private List<AlarmChange> Pass(double day)
    {
        List<AlarmChange> changes = [];
        while (_conditions.NextDeadline(_handling) is { } deadline && deadline <= Bench.Start.AddDays(day))
        {
            (_conditions, IReadOnlyList<AlarmChange> own) = AlarmConditioner.Elapse("T1", _conditions, _handling, deadline);
            changes.AddRange(own);
        }

        return changes;
    }
}
