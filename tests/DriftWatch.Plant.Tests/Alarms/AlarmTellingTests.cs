using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Tests.Alarms;

/// <summary>Each state of an alarm is told once, whatever way led to it.</summary>
public class AlarmTellingTests
{
    private readonly List<AlarmChange> _changes = [];
    private readonly List<AlarmAction> _actions = [];
    private readonly Dictionary<(string, AlarmKind), AlarmNotice> _told = [];

    [Fact]
    public void The_life_of_an_alarm_is_told_step_by_step_with_who_and_why()
    {
        Change(1, AlarmEvent.ConditionOn);
        AssertTold(2, AlarmNews.Raised, "data", 1);
        Act(3, AlarmEvent.Acknowledge, raised: 1);
        AssertTold(4, AlarmNews.Acknowledged, "H. Example", 2);
        Change(5, AlarmEvent.PriorityRaised, Priority.High);
        AssertTold(6, AlarmNews.Raised, "data", 3);
        Change(7, AlarmEvent.ConditionOff);
        AssertTold(8, AlarmNews.Returned, "data", 4);
        Act(9, AlarmEvent.Acknowledge, raised: 1);
        AssertTold(10, AlarmNews.Normal, "H. Example", 5);
    }

    [Fact]
    public void What_is_set_aside_is_told_and_comes_back_by_the_clock()
    {
        Change(1, AlarmEvent.ConditionOn);
        AssertTold(1, AlarmNews.Raised, "data", 1);
        Act(2, AlarmEvent.Shelve, until: 5);
        AlarmNotice shelved = AssertTold(3, AlarmNews.Shelved, "H. Example", 2);
        Assert.Equal(Bench.Start.AddDays(5), shelved.Alarm.ShelvedUntil);
        AlarmNotice back = AssertTold(6, AlarmNews.Raised, "clock", 3);
        Assert.Equal(Bench.Start.AddDays(5), back.At);
        Act(7, AlarmEvent.Suppress);
        AssertTold(7, AlarmNews.Suppressed, "H. Example", 4);
        Act(8, AlarmEvent.Unsuppress);
        AssertTold(8, AlarmNews.Raised, "H. Example", 5);
        Act(9, AlarmEvent.RemoveFromService);
        AssertTold(9, AlarmNews.TakenOutOfService, "H. Example", 6);
    }

    [Fact]
    public void An_alarm_that_came_and_went_unseen_by_us_is_told_as_it_stands() // A look comes some times a minute.
    {
        Change(1, AlarmEvent.ConditionOn);
        Change(2, AlarmEvent.ConditionOff);
        AssertTold(3, AlarmNews.Returned, "data", 1);
    }

    [Fact]
    public void One_that_late_readings_have_undone_is_told_as_normal()
    {
        Change(1, AlarmEvent.ConditionOn);
        AssertTold(2, AlarmNews.Raised, "data", 1);
        _changes.Clear();
        AlarmNotice gone = AssertTold(3, AlarmNews.Normal, "data", 2);
        Assert.Contains("late", gone.Because, StringComparison.Ordinal);
        Assert.Empty(Tell(4));
    }

    [Fact]
    public void A_normal_alarm_that_was_never_told_is_not_told()
    {
        Change(1, AlarmEvent.ConditionOn);
        Change(2, AlarmEvent.ConditionOff);
        Act(3, AlarmEvent.Acknowledge, raised: 1);
        Assert.Empty(Tell(4));
    }

    private AlarmNotice AssertTold(double day, AlarmNews news, string by, int revision)
    {
        AlarmNotice notice = Assert.Single(Tell(day));
        Assert.Equal((news, by, revision, "Bay 1"), (notice.News, notice.By, notice.Revision, notice.Place));
        Assert.Equal($"T1/BelowLowerLimit/{revision}", notice.Key);
        Assert.Empty(Tell(day));
        return notice;
    }

    private IReadOnlyList<AlarmNotice> Tell(double day)
    {
        IReadOnlyList<AlarmNotice> notices = AlarmTelling.Outstanding(_told.Values, AlarmBook.At(_changes, _actions, Bench.Start.AddDays(day)), _ => "Bay 1");
        foreach (AlarmNotice notice in notices)
        {
            _told[(notice.Alarm.VesselId, notice.Alarm.Kind)] = notice;
        }

        return notices;
    }

    private void Change(double day, AlarmEvent what, Priority priority = Priority.Medium) =>
        _changes.Add(new AlarmChange("T1", AlarmKind.BelowLowerLimit, Bench.Start.AddDays(day), what, priority, "Reason."));

    private void Act(double day, AlarmEvent what, double? raised = null, double? until = null) => _actions.Add(new AlarmAction(
        "T1", AlarmKind.BelowLowerLimit, Bench.Start.AddDays(day), what, "H. Example", "for a reason",
        raised is { } came ? Bench.Start.AddDays(came) : null, until is { } end ? Bench.Start.AddDays(end) : null));
}
