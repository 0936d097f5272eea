using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Alarms;

public class AlarmConditionerTests
{
    private AlarmConditions _conditions = AlarmConditions.Start;

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

    private static (AlarmEvent What, Priority Priority) What(List<AlarmChange> changes) =>
        (Assert.Single(changes).What, changes[0].Priority);

    private List<AlarmChange> Take(
        double day, Verdict verdict, double barGauge = 95, int segment = 0, SegmentCause cause = SegmentCause.FirstWindow,
        double? earliestDay = null, double? windowDay = null)
    {
        List<AlarmChange> changes = Pass(day);
        (_conditions, IReadOnlyList<AlarmChange> own) = AlarmConditioner.Advance(
            Bench.Vessel(), _conditions, Bench.Day(day, verdict, barGauge, segment, cause, earliestDay, windowDay));
        return [.. changes, .. own];
    }

    /// <summary>Delays end at their own moments.</summary>
    private List<AlarmChange> Pass(double day)
    {
        List<AlarmChange> changes = [];
        while (_conditions.NextDeadline() is { } deadline && deadline <= Bench.Start.AddDays(day))
        {
            (_conditions, IReadOnlyList<AlarmChange> own) = AlarmConditioner.Elapse("T1", _conditions, deadline);
            changes.AddRange(own);
        }

        return changes;
    }
}
