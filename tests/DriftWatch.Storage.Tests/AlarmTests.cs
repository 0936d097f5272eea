using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Priorities;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

public sealed class AlarmTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Alarms_and_what_people_did_survive_a_restart()
    {
        using (PlantStore store = _folder.Open())
        {
            store.Save(Given.Step("V-1", 1) with { AlarmChanges = [On("V-1", 1)] });
            Assert.Null(store.Record(Acknowledge("V-1", 2, raisedHours: 1)));
        }

        using PlantStore reopened = _folder.Open();
        AlarmBook book = reopened.Alarms(Given.Instant(3));
        Assert.Equal(AlarmState.Acknowledged, book.Of("V-1", AlarmKind.BelowLowerLimit).Status.State);
        Assert.Equal(["data", "H. Example"], book.Journal.Select(line => line.By));
        Assert.Equal(AlarmState.Unacknowledged, reopened.Alarms(Given.Instant(1.5)).Of("V-1", AlarmKind.BelowLowerLimit).Status.State);
    }

    [Fact]
    public void An_action_without_place_is_refused_and_not_recorded()
    {
        using PlantStore store = _folder.Open();
        store.Save(Given.Step("V-1", 1) with { AlarmChanges = [On("V-1", 1)] });
        Assert.NotNull(store.Record(Acknowledge("V-1", 2, raisedHours: 0)));
        Assert.NotNull(store.Record(Acknowledge("V-2", 2, raisedHours: 1)));
        Assert.Equal("data", Assert.Single(store.Alarms(Given.Instant(3)).Journal).By);
    }

    [Fact]
    public void A_way_back_makes_later_changes_of_that_vessel_void_and_keeps_the_actions()
    {
        using PlantStore store = _folder.Open();
        store.Save(Given.Step("V-1", 1) with { AlarmChanges = [On("V-1", 1)] });
        store.Save(Given.Step("V-2", 1) with { AlarmChanges = [On("V-2", 1)] });
        Assert.Null(store.Record(Acknowledge("V-1", 2, raisedHours: 1)));
        store.Save(Given.Step("V-1", 0.6) with { Rewind = new Rewind(Given.Instant(0.5), Given.Instant(0.5)) });
        AlarmBook book = store.Alarms(Given.Instant(3));
        Assert.Equal(AlarmState.Normal, book.Of("V-1", AlarmKind.BelowLowerLimit).Status.State);
        Assert.Equal(AlarmState.Unacknowledged, book.Of("V-2", AlarmKind.BelowLowerLimit).Status.State);
        Assert.Equal("H. Example", Assert.Single(book.Void).By);
    }

    [Fact]
    public void A_book_that_is_remembered_is_the_one_that_would_be_made_anew()
    {
        using PlantStore store = _folder.Open();
        store.Save(Given.Step("V-1", 1) with { AlarmChanges = [On("V-1", 1)] });
        Same();
        store.Save(Given.Step("V-2", 2) with { AlarmChanges = [On("V-2", 2)] });
        Same();
        Assert.Null(store.Record(Shelve("V-1", 3, untilHours: 6)));
        Same();
        store.Save(Given.Step("V-2", 1.6) with { Rewind = new Rewind(Given.Instant(1.5), Given.Instant(1.5)) });
        Same();
        store.Save(Given.Step("V-2", 4) with { AlarmChanges = [On("V-2", 4)] });
        Same();

        void Same()
        {
            using PlantStore fresh = _folder.Open();
            foreach (double hours in (double[])[0, 1, 2, 3, 3.5, 5.9, 6, 7, 4, 9])
            {
                (AlarmBook known, AlarmBook made) = (store.Alarms(Given.Instant(hours)), fresh.Alarms(Given.Instant(hours)));
                Assert.Equal(made.Alarms, known.Alarms);
                Assert.Equal(made.Journal, known.Journal);
                Assert.Equal(made.Void, known.Void);
                Assert.Equal(made.AsOf, known.AsOf);
                AlarmBook one = store.Alarms(Given.Instant(hours), "V-1");
                Assert.Equal(made.Alarms.Where(alarm => alarm.VesselId == "V-1"), one.Alarms);
                Assert.Equal(made.Journal.Where(line => line.VesselId == "V-1"), one.Journal);
            }
        }
    }

    private static AlarmAction Shelve(string vessel, double hours, double untilHours) =>
        new(vessel, AlarmKind.BelowLowerLimit, Given.Instant(hours), AlarmEvent.Shelve, "H. Example", "seal is ordered", null, Given.Instant(untilHours));

    private static AlarmChange On(string vessel, double hours) =>
        new(vessel, AlarmKind.BelowLowerLimit, Given.Instant(hours), AlarmEvent.ConditionOn, Priority.Medium, "below");

    private static AlarmAction Acknowledge(string vessel, double hours, double raisedHours) =>
        new(vessel, AlarmKind.BelowLowerLimit, Given.Instant(hours), AlarmEvent.Acknowledge, "H. Example", "", Given.Instant(raisedHours), null);
}
