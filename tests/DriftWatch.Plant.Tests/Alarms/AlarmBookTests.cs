using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Tests.Alarms;

public class AlarmBookTests
{
    private readonly List<AlarmChange> _changes = [];
    private readonly List<AlarmAction> _actions = [];

    [Fact]
    public void A_shelf_ends_by_itself_and_brings_the_standing_alarm_back()
    {
        Data(0, AlarmEvent.ConditionOn);
        Act(1, AlarmEvent.Shelve, "seal is ordered", untilDay: 5);
        Alarm shelved = Book(4.9).Of("T1", AlarmKind.BelowLowerLimit);
        Assert.Equal((AlarmState.Shelved, "R. Example", "seal is ordered"), (shelved.Status.State, shelved.SetAsideBy, shelved.SetAsideWhy));
        AlarmBook book = Book(5);
        Assert.Equal(AlarmState.Unacknowledged, book.Of("T1", AlarmKind.BelowLowerLimit).Status.State);
        AlarmTransition last = book.Journal[^1];
        Assert.Equal(("clock", Bench.Start.AddDays(5), true), (last.By, last.At, last.Announces));
    }

    [Fact]
    public void A_book_holds_until_the_clock_alone_changes_it()
    {
        Data(0, AlarmEvent.ConditionOn);
        Data(0, AlarmEvent.ConditionOn, vessel: "T2");
        Act(1, AlarmEvent.Shelve, "seal is ordered", untilDay: 5);
        Data(7, AlarmEvent.ConditionOff, vessel: "T2");
        AlarmBook known = Book(0);
        List<double> made = [0];
        for (int tenth = 0; tenth <= 100; tenth++)
        {
            double day = tenth / 10.0;
            if (!known.HoldsAt(Bench.Start.AddDays(day)))
            {
                known = Book(day);
                made.Add(day);
            }

            AlarmBook now = known.As(Bench.Start.AddDays(day));
            Assert.Equal(Book(day).Alarms, now.Alarms);
            Assert.Equal(Book(day).Journal, now.Journal);
            Assert.Equal(Bench.Start.AddDays(day), now.AsOf);
        }

        Assert.Equal([0, 1, 5, 7], made);
        Assert.Throws<ArgumentOutOfRangeException>(() => known.As(Bench.Start));
    }

    [Theory]
    [InlineData(AlarmEvent.Shelve, "", 5.0)]
    [InlineData(AlarmEvent.Shelve, "reason", null)]
    [InlineData(AlarmEvent.Shelve, "reason", 0.5)]
    [InlineData(AlarmEvent.Suppress, " ", null)]
    [InlineData(AlarmEvent.RemoveFromService, "", null)]
    [InlineData(AlarmEvent.ConditionOff, "reason", null)]
    [InlineData(AlarmEvent.Unshelve, "", null)]
    public void What_has_no_reason_no_end_or_no_place_is_refused(AlarmEvent what, string why, double? untilDay)
    {
        Data(0, AlarmEvent.ConditionOn);
        Assert.NotNull(Book(1).Objection(Action(1, what, why, untilDay)));
    }

    [Fact]
    public void An_acknowledgement_holds_for_the_alarm_that_was_seen_only()
    {
        Data(0, AlarmEvent.ConditionOn);
        Act(2, AlarmEvent.Acknowledge, raisedDay: 0);
        Assert.Equal(AlarmState.Acknowledged, Book(3).Of("T1", AlarmKind.BelowLowerLimit).Status.State);

        // Readings that came late: it was gone and came again before anybody acknowledged.
        Data(1, AlarmEvent.ConditionOff);
        Data(1.5, AlarmEvent.ConditionOn);
        AlarmBook book = Book(3);
        Assert.Equal(AlarmState.Unacknowledged, book.Of("T1", AlarmKind.BelowLowerLimit).Status.State);
        Assert.Single(book.Void);
    }

    [Fact]
    public void The_journal_says_who_when_and_why()
    {
        Data(0, AlarmEvent.ConditionOn);
        Act(1, AlarmEvent.RemoveFromService, "gauge sent in");
        Act(2, AlarmEvent.ReturnToService);
        Assert.Equal(
            [
                ("data", AlarmState.Normal, AlarmState.Unacknowledged, "because"),
                ("R. Example", AlarmState.Unacknowledged, AlarmState.OutOfService, "gauge sent in"),
                ("R. Example", AlarmState.OutOfService, AlarmState.Unacknowledged, ""),
            ],
            Book(9).Journal.Select(line => (line.By, line.From, line.To, line.Why)));
    }

    [Fact]
    public void What_one_cause_brings_to_many_is_shown_as_one()
    {
        for (int vessel = 0; vessel < 40; vessel++)
        {
            Data(30 + (vessel / 100.0), AlarmEvent.ConditionOn, AlarmKind.NoWindowTooLong, $"V{vessel:00}");
        }

        Data(10, AlarmEvent.ConditionOn, AlarmKind.NoWindowTooLong, "V50");
        Data(30, AlarmEvent.ConditionOn, AlarmKind.BelowLowerLimit, "V51", Priority.High);
        Data(30, AlarmEvent.ConditionOn, AlarmKind.BelowLowerLimit, "V52");
        IReadOnlyList<AlarmGroup> groups = AlarmFlood.Groups(Book(31).Alarms, AlarmHandling.Usual.Flood);
        Assert.Equal([(1, "V51"), (1, "V50"), (1, "V52"), (40, "V00")], groups.Select(group => (group.Alarms.Count, group.Alarms[0].VesselId)));
        Assert.Contains("broker", groups.Single(group => group.IsFlood).LikelyCause, StringComparison.Ordinal);

        // Someone shelves one of them: it is no longer shown.
        _actions.Add(new AlarmAction("V00", AlarmKind.NoWindowTooLong, Bench.Start.AddDays(31), AlarmEvent.Shelve, "R. Example", "line stands", null, Bench.Start.AddDays(90)));
        Assert.Equal(39, AlarmFlood.Groups(Book(31).Alarms, AlarmHandling.Usual.Flood).Single(group => group.IsFlood).Alarms.Count);
    }

    [Fact]
    public void The_plant_says_from_how_many_vessels_and_within_what_window_a_flood_is_one()
    {
        Data(1, AlarmEvent.ConditionOn, vessel: "V1");
        Data(1.5, AlarmEvent.ConditionOn, vessel: "V2");
        Data(3, AlarmEvent.ConditionOn, vessel: "V3");
        Assert.Equal([1, 1, 1], Counts(new AlarmFloodRule()));
        Assert.Equal([2, 1], Counts(new AlarmFloodRule { Vessels = 2 }));
        Assert.Equal([1, 1, 1], Counts(new AlarmFloodRule { Vessels = 2, Window = TimeSpan.FromHours(11) }));
        Assert.Equal([3], Counts(new AlarmFloodRule { Window = TimeSpan.FromDays(1.5) }));

        int[] Counts(AlarmFloodRule rule) => [.. AlarmFlood.Groups(Book(4).Alarms, rule).Select(group => group.Alarms.Count)];
    }

    [Fact]
    public void The_figures_are_counted_by_hand()
    {
        // Ten days: eleven announcements inside ten minutes on day 1, one alarm that comes three times, one that came before.
        Data(-5, AlarmEvent.ConditionOn, AlarmKind.AboveUpperLimit, "V90");
        for (int i = 0; i < 11; i++)
        {
            Data(1 + (i / 1440.0 / 2), AlarmEvent.ConditionOn, AlarmKind.NoWindowTooLong, $"V{i:00}", Priority.Low);
        }

        foreach (double day in (double[])[2, 4, 6])
        {
            Data(day, AlarmEvent.ConditionOn, AlarmKind.BelowLowerLimit, "V80", Priority.High);
            Data(day + 1, AlarmEvent.ConditionOff, AlarmKind.BelowLowerLimit, "V80", Priority.High);
        }

        Data(9.5, AlarmEvent.ConditionOn, AlarmKind.DataFault, "V81");
        AlarmPerformance figures = AlarmPerformance.Of(Book(10), Bench.Start);
        Assert.Equal(15, figures.Announced);
        Assert.Equal(1.5, figures.PerDay, 1e-12);
        Assert.Equal(11, figures.MostInTenMinutes);
        Assert.Equal(1.0 / 1440, figures.TenMinuteFloodShare, 1e-12);
        Assert.Equal((13, 12), (figures.Standing, figures.Stale));
        Assert.Equal([("V80", AlarmKind.BelowLowerLimit)], figures.Chattering);
        Assert.Equal([(Priority.Low, 11), (Priority.Medium, 1), (Priority.High, 3)], figures.ByPriority.OrderBy(pair => pair.Key).Select(pair => (pair.Key, pair.Value)));
        Assert.Equal((3 + 9) / 15.0, figures.MostFrequent, 1e-12);
    }

    /// <summary>Nobody can do anything about it: it must not weigh on the figures for ever.</summary>
    [Fact]
    public void What_is_set_aside_because_its_vessel_left_the_register_counts_until_then_and_no_longer()
    {
        Data(1, AlarmEvent.ConditionOn);
        Data(1, AlarmEvent.ConditionOn, vessel: "T2");
        _actions.Add(Action(2, AlarmEvent.RemoveFromService, "stop"));
        Assert.Equal((1, 1, 2), Figures(3));
        Leave(4, "T1");
        Leave(4, "T2");
        Assert.Equal((0, 0, 2), Figures(5));
        Assert.Equal([("T1", AlarmKind.BelowLowerLimit), ("T2", AlarmKind.BelowLowerLimit)], Book(5).OfVesselsThatLeft.Order());

        Data(6, AlarmEvent.ReleasedByRule, vessel: "T2");
        Data(6, AlarmEvent.SuppressedByRule, vessel: "T2");
        Assert.Equal((0, 1, 2), Figures(7));

        (int Standing, int Suppressed, int Announced) Figures(double day) =>
            AlarmPerformance.Of(Book(day), Bench.Start) is var figures ? (figures.Standing, figures.Suppressed, figures.Announced) : default;

        void Leave(double day, string vessel)
        {
            Data(day, AlarmEvent.ConditionOff, vessel: vessel);
            _changes.Add(new AlarmChange(vessel, AlarmKind.BelowLowerLimit, Bench.Start.AddDays(day), AlarmEvent.SuppressedByRule, Priority.Low, AlarmChange.VesselLeft));
        }
    }

    private AlarmBook Book(double day) => AlarmBook.At(_changes.OrderBy(change => change.At), _actions, Bench.Start.AddDays(day));

    private void Data(double day, AlarmEvent what, AlarmKind kind = AlarmKind.BelowLowerLimit, string vessel = "T1", Priority priority = Priority.Medium) =>
        _changes.Add(new AlarmChange(vessel, kind, Bench.Start.AddDays(day), what, priority, "because"));

    private static AlarmAction Action(double day, AlarmEvent what, string why = "", double? untilDay = null, double? raisedDay = null) => new(
        "T1", AlarmKind.BelowLowerLimit, Bench.Start.AddDays(day), what, "R. Example", why,
        raisedDay is { } raised ? Bench.Start.AddDays(raised) : null,
        untilDay is { } until ? Bench.Start.AddDays(until) : null);

    private void Act(double day, AlarmEvent what, string why = "", double? untilDay = null, double? raisedDay = null)
    {
        AlarmAction action = Action(day, what, why, untilDay, raisedDay);
        Assert.Null(Book(day).Objection(action));
        _actions.Add(action);
    }
}
