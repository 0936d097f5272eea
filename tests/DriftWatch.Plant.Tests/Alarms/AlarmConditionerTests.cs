using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;
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
