using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Notices;
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
    public void Notices_of_alarms_stand_in_one_outbox_with_those_of_jobs_and_each_state_is_told_once()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, Channels = ["files", "mqtt"], AlarmChannels = ["mqtt"] });
        store.Save(Given.Step("V-1", 1, Given.Opened(Given.Job("V-1"))) with { AlarmChanges = [On("V-1", 1)] });
        Assert.Equal(1, store.TellAlarms(Given.Instant(1), _ => "Bay 1"));
        Assert.Equal(0, store.TellAlarms(Given.Instant(1.5), _ => "Bay 1"));
        store.Save(Given.Step("V-2", 2, Given.Opened(Given.Job("V-2"))));
        Assert.Null(store.Record(Acknowledge("V-1", 2, raisedHours: 1)));
        Assert.Equal(1, store.TellAlarms(Given.Instant(2), _ => "Bay 1"));
        Assert.Equal(
            [Given.Opened(Given.Job("V-1")).Key, "V-1/BelowLowerLimit/1", Given.Opened(Given.Job("V-2")).Key, "V-1/BelowLowerLimit/2"],
            store.Pending("mqtt", 10).Select(entry => entry.Notice.Key));
        Assert.Equal([Given.Opened(Given.Job("V-2")).Key], store.Pending("mqtt", 10, ["V-1"]).Select(entry => entry.Notice.Key));
        Assert.Equal(2, store.Pending("files", 10).Count);
        AlarmNotice told = (AlarmNotice)store.Pending("mqtt", 10)[1].Notice;
        Assert.Equal(("Bay 1", AlarmNews.Raised, Given.Instant(1)), (told.Place, told.News, told.At));
    }

    [Fact]
    public void An_alarm_notice_set_aside_is_sent_again_with_what_came_after_it()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, AlarmChannels = ["mqtt"] });
        store.Save(Given.Step("V-1", 1) with { AlarmChanges = [On("V-1", 1)] });
        store.Save(Given.Step("V-2", 1) with { AlarmChanges = [On("V-2", 1)] });
        Assert.Equal(2, store.TellAlarms(Given.Instant(1), _ => "Bay 1"));
        Assert.Null(store.Record(Acknowledge("V-1", 2, raisedHours: 1)));
        Assert.Equal(1, store.TellAlarms(Given.Instant(2), _ => "Bay 1"));
        IReadOnlyList<OutboxEntry> entries = store.Pending("mqtt", 10);
        store.MarkFailed("mqtt", entries[0].Sequence, "no such plant");
        store.SetAside("mqtt", entries[0].Sequence, Given.Instant(3));
        store.MarkDelivered("mqtt", entries[1].Sequence);
        store.MarkDelivered("mqtt", entries[2].Sequence);
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(("mqtt", "V-1/BelowLowerLimit/1", Given.Instant(3), "no such plant"), (letter.Channel, letter.Notice.Key, letter.SetAside, letter.Error));
        Assert.Equal(2, store.Resend("mqtt", letter.Sequence));
        Assert.Equal(["V-1/BelowLowerLimit/1", "V-1/BelowLowerLimit/2"], store.Pending("mqtt", 10).Select(entry => entry.Notice.Key));
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
