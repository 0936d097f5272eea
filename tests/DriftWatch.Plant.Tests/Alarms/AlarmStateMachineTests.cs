using CsCheck;
using DriftWatch.Plant.Alarms;
using static DriftWatch.Plant.Alarms.AlarmEvent;
using static DriftWatch.Plant.Alarms.AlarmState;

namespace DriftWatch.Plant.Tests.Alarms;

/// <summary>The state transition diagram of IEC 62682 and ANSI/ISA-18.2 (states A to I), transition by transition; from memory.</summary>
public class AlarmStateMachineTests
{
    /// <summary>From, event, latching, to; no target where the event has no place.</summary>
    public static TheoryData<AlarmState, AlarmEvent, bool, AlarmState?> Transitions { get; } = new()
    {
        { Normal, ConditionOn, false, Unacknowledged },
        { Normal, ConditionOn, true, Unacknowledged },
        { Normal, ConditionOff, false, Normal },
        { Normal, PriorityRaised, false, Normal },
        { Normal, Acknowledge, false, null },
        { Normal, Reset, true, null },
        { Normal, Unshelve, false, null },
        { Normal, ReturnToService, false, null },
        { Unacknowledged, ConditionOn, false, Unacknowledged },
        { Unacknowledged, ConditionOff, false, ReturnedToNormalUnacknowledged },
        { Unacknowledged, ConditionOff, true, LatchedUnacknowledged },
        { Unacknowledged, Acknowledge, false, Acknowledged },
        { Unacknowledged, Reset, true, null },
        { Unacknowledged, PriorityRaised, false, Unacknowledged },
        { Acknowledged, ConditionOff, false, Normal },
        { Acknowledged, ConditionOff, true, LatchedAcknowledged },
        { Acknowledged, ConditionOn, false, Acknowledged },
        { Acknowledged, PriorityRaised, false, Unacknowledged },
        { Acknowledged, Acknowledge, false, null },
        { Acknowledged, Reset, true, null },
        { ReturnedToNormalUnacknowledged, Acknowledge, false, Normal },
        { ReturnedToNormalUnacknowledged, ConditionOn, false, Unacknowledged },
        { ReturnedToNormalUnacknowledged, Reset, false, null },
        { LatchedUnacknowledged, Acknowledge, true, LatchedAcknowledged },
        { LatchedUnacknowledged, Reset, true, ReturnedToNormalUnacknowledged },
        { LatchedUnacknowledged, ConditionOn, true, Unacknowledged },
        { LatchedAcknowledged, Reset, true, Normal },
        { LatchedAcknowledged, ConditionOn, true, Unacknowledged },
        { LatchedAcknowledged, Acknowledge, true, null },
        { Normal, Shelve, false, Shelved },
        { Unacknowledged, Shelve, false, Shelved },
        { Acknowledged, Shelve, false, Shelved },
        { ReturnedToNormalUnacknowledged, Shelve, false, Shelved },
        { LatchedUnacknowledged, Shelve, true, Shelved },
        { Normal, SuppressedByRule, false, SuppressedByDesign },
        { Unacknowledged, SuppressedByRule, false, SuppressedByDesign },
        { Acknowledged, Suppress, false, SuppressedByDesign },
        { Normal, RemoveFromService, false, OutOfService },
        { Acknowledged, RemoveFromService, false, OutOfService },
        { Shelved, Shelve, false, null },
        { Shelved, Acknowledge, false, null },
        { Shelved, RemoveFromService, false, OutOfService },
        { Shelved, SuppressedByRule, false, Shelved },
        { SuppressedByDesign, Shelve, false, null },
        { SuppressedByDesign, Acknowledge, false, null },
        { SuppressedByDesign, Unshelve, false, null },
        { SuppressedByDesign, RemoveFromService, false, OutOfService },
        { OutOfService, RemoveFromService, false, null },
        { OutOfService, Shelve, false, null },
        { OutOfService, Acknowledge, false, null },
        { OutOfService, SuppressedByRule, false, OutOfService },
    };

    [Theory]
    [MemberData(nameof(Transitions))]
    public void Each_transition_is_that_of_the_standard(AlarmState from, AlarmEvent what, bool latching, AlarmState? to) =>
        Assert.Equal(to, AlarmStateMachine.Next(In(from, latching), what, latching)?.State);

    /// <summary>What comes back from where it was set aside, by what the condition did meanwhile.</summary>
    [Theory]
    [InlineData(Shelve, Unshelve)]
    [InlineData(Shelve, ShelfExpired)]
    [InlineData(Suppress, Unsuppress)]
    [InlineData(SuppressedByRule, ReleasedByRule)]
    [InlineData(RemoveFromService, ReturnToService)]
    public void An_alarm_set_aside_comes_back_by_its_condition(AlarmEvent aside, AlarmEvent back)
    {
        Assert.Equal(Normal, Run(false, aside, back).State);
        Assert.Equal(Unacknowledged, Run(false, aside, ConditionOn, back).State);
        Assert.Equal(Unacknowledged, Run(false, ConditionOn, Acknowledge, aside, back).State);
        Assert.Equal(Normal, Run(false, ConditionOn, aside, ConditionOff, back).State);
        Assert.Equal(LatchedUnacknowledged, Run(true, ConditionOn, aside, ConditionOff, back).State);
    }

    [Fact]
    public void A_shelf_does_not_end_a_suppression_nor_one_suppression_another()
    {
        Assert.Equal(SuppressedByDesign, Run(false, Shelve, SuppressedByRule, Unshelve).State);
        Assert.Equal(SuppressedByDesign, Run(false, SuppressedByRule, Suppress, ReleasedByRule).State);
        Assert.Equal(SuppressedByDesign, Run(false, SuppressedByRule, Suppress, Unsuppress).State);
        Assert.Equal(Normal, Run(false, SuppressedByRule, Suppress, Unsuppress, ReleasedByRule).State);
    }

    /// <summary>Whatever happens: the condition is known, and an alarm whose condition stands is never normal.</summary>
    [Fact]
    public void A_standing_condition_is_never_normal() =>
        Gen.Select(Gen.Bool, Gen.Enum<AlarmEvent>().Array[1, 40]).Sample((latching, events) =>
        {
            AlarmStatus status = AlarmStatus.Normal;
            bool on = false;
            foreach (AlarmEvent what in events)
            {
                on = what == ConditionOn || (what != ConditionOff && on);
                status = AlarmStateMachine.Next(status, what, latching) ?? status;
                if (status.ConditionOn != on || (on && status.State is Normal or ReturnedToNormalUnacknowledged or LatchedUnacknowledged or LatchedAcknowledged))
                {
                    return false;
                }
            }

            return true;
        }, threads: 1);

    private static AlarmStatus In(AlarmState state, bool latching) => new(
        state,
        ConditionOn: state is Unacknowledged or Acknowledged,
        Latched: latching && state != Normal,
        SuppressedByRule: state == SuppressedByDesign,
        SuppressedByPlant: false);

    private static AlarmStatus Run(bool latching, params AlarmEvent[] events) =>
        events.Aggregate(AlarmStatus.Normal, (status, what) => AlarmStateMachine.Next(status, what, latching)!.Value);
}
