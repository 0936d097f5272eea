using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage.Tests;

public sealed class StepTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_step_comes_back_as_it_was_saved()
    {
        using (PlantStore store = _folder.Open())
        {
            store.Save(Given.Step("V-1", 9) with { Windows = [Given.Window(4), Given.Window(2)] });
        }

        using PlantStore reopened = _folder.Open();
        // Records compare by value, doubles by Equals: NaN equals NaN, and each bit counts.
        Assert.Equal([Given.Window(2), Given.Window(4)], reopened.Windows("V-1"));
        Assert.Equal(Given.Assessment(9), reopened.LastAssessment("V-1"));
        Assert.Equal(Given.Assessment(9), Assert.Single(reopened.LastAssessments()).Value);
        Assert.Equal([1, 0, 255], reopened.CheckpointBefore("V-1", DateTimeOffset.MaxValue)?.State.ToArray());
        Assert.Equal(Given.Instant(9), reopened.CheckpointBefore("V-1", DateTimeOffset.MaxValue)?.Instant);
    }

    [Fact]
    public void Windows_are_read_back_to_where_they_are_asked_for()
    {
        using PlantStore store = _folder.Open();
        PrechargeWindow[] windows = [.. Enumerable.Range(0, 10).Select(n => Given.Window(n) with { Standing = n % 3 == 0 ? WindowStanding.Accepted : WindowStanding.Rejected })];
        store.Save(Given.Step("V-1", 11) with { Windows = windows });

        // Window n lasts from n to n + 0.5 h: its middle lies at n + 0.25 h.
        Assert.Equal(windows[2..5], store.Windows(["V-1"], Given.Instant(2.25), Given.Instant(5.25))[0]);
        Assert.Equal([2, 0, 10], store.Windows(["V-1", "V-2", "V-1"], Given.Instant(8.1), Given.Instant(99)).Zip([0, 0, 8], (some, more) => some.Count + more));
        Assert.Equal(windows[8..], store.WindowsSince("V-1", Given.Instant(7.5)).SkipWhile(window => window.End <= Given.Instant(7.5)));
        Assert.Equal(windows[9..], store.WindowsSince("V-1", Given.Instant(8.5)));
        Assert.Equal(windows[9..], store.WindowsSince("V-1", Given.Instant(99)));
        Assert.Equal(windows, store.WindowsSince("V-1", DateTimeOffset.MinValue));
        Assert.Empty(store.WindowsSince("V-2", DateTimeOffset.MinValue));
    }

    [Fact]
    public void The_count_of_changes_moves_with_the_windows_and_with_nothing_else()
    {
        using PlantStore store = _folder.Open();
        Assert.Empty(store.WindowChanges());
        store.Save(Given.Step("V-1", 1));
        Assert.Empty(store.WindowChanges());
        store.Save(Given.Step("V-1", 2) with { Windows = [Given.Window(1)] });
        store.Save(Given.Step("V-2", 2) with { Windows = [Given.Window(1)] });
        long one = store.WindowChanges()["V-1"];
        store.Save(Given.Step("V-1", 3));
        Assert.Equal(one, store.WindowChanges()["V-1"]);
        store.Save(Given.Step("V-1", 3) with { Rewind = new Rewind(Given.Instant(0.5), Given.Instant(0.5)) });
        Assert.NotEqual(one, store.WindowChanges()["V-1"]);
        Assert.Equal(["V-1", "V-2"], store.WindowChanges().Keys.Order());
    }

    [Fact]
    public void Jobs_of_a_span_are_those_that_stand_and_those_it_raised_or_ended()
    {
        using PlantStore store = _folder.Open();
        Job stands = Given.Job("V-1", "stands");
        Job ended = Given.Job("V-1", "ended", raisedHours: 1);
        store.Save(Given.Step("V-1", 9, Given.Opened(stands), Given.Opened(ended), Given.Closed(ended)));

        // It is closed five hours after it was raised, at hour 6.
        Assert.Equal([stands.Key], Keys(7, 9));
        Assert.Equal([stands.Key, ended.Key], Keys(6, 7));
        Assert.Equal([stands.Key], Keys(2, 6));
        Assert.Equal([stands.Key, ended.Key], Keys(1, 2));
        Assert.Equal(
            store.Jobs().Select(job => (job.Job.Key, job.State, job.Closed, job.End)),
            store.Jobs(Given.Instant(-1), Given.Instant(9)).Select(job => (job.Job.Key, job.State, job.Closed, job.End)));

        IEnumerable<string> Keys(double from, double to) => store.Jobs(Given.Instant(from), Given.Instant(to)).Select(job => job.Job.Key);
    }

    [Fact]
    public void A_vessel_never_heard_of_has_nothing()
    {
        using PlantStore store = _folder.Open();
        Assert.Empty(store.Windows("V-1"));
        Assert.Null(store.LastAssessment("V-1"));
        Assert.Null(store.CheckpointBefore("V-1", DateTimeOffset.MaxValue));
        Assert.Empty(store.LastNotices("V-1"));
        Assert.Empty(store.ReadingsAfter("V-1", DateTimeOffset.MinValue));
    }

    [Fact]
    public void A_window_saved_again_replaces_the_one_with_its_start()
    {
        using PlantStore store = _folder.Open();
        store.Save(Given.Step("V-1", 1) with { Windows = [Given.Window(1)] });
        PrechargeWindow accepted = Given.Window(1) with { Standing = WindowStanding.Accepted, Segment = 0 };
        store.Save(Given.Step("V-1", 2) with { Windows = [accepted] });
        Assert.Equal([accepted], store.Windows("V-1"));
    }

    [Fact]
    public void A_rewind_drops_what_came_after_its_instant_and_of_this_vessel_only()
    {
        using PlantStore store = _folder.Open();
        foreach (string vessel in new[] { "V-1", "V-2" })
        {
            foreach (double hours in new double[] { 0, 200, 400, 600 })
            {
                store.Save(Given.Step(vessel, hours) with { Windows = [Given.Window(hours)] });
            }
        }

        store.Save(Given.Step("V-1", 500) with { Rewind = new Rewind(Given.Instant(200), Given.Instant(200)), Windows = [Given.Window(300)] });
        Assert.Equal([Given.Window(0), Given.Window(200), Given.Window(300)], store.Windows("V-1"));
        Assert.Equal(Given.Instant(500), store.CheckpointBefore("V-1", DateTimeOffset.MaxValue)?.Instant);
        Assert.Equal(Given.Instant(200), store.CheckpointBefore("V-1", Given.Instant(500))?.Instant);
        Assert.Equal(4, store.Windows("V-2").Count);
        Assert.Equal(Given.Instant(600), store.CheckpointBefore("V-2", DateTimeOffset.MaxValue)?.Instant);

        store.Save(Given.Step("V-1", 100) with { Rewind = new Rewind(DateTimeOffset.MinValue, DateTimeOffset.MinValue) });
        Assert.Empty(store.Windows("V-1"));
        Assert.Equal(Given.Instant(100), store.CheckpointBefore("V-1", DateTimeOffset.MaxValue)?.Instant);
        Assert.Null(store.CheckpointBefore("V-1", Given.Instant(100)));
    }

    [Fact]
    public void The_last_assessment_stands()
    {
        using PlantStore store = _folder.Open();
        store.Save(Given.Step("V-1", 1));
        store.Save(Given.Step("V-1", 2) with { Assessment = Given.Assessment(2, Verdict.WithinLimits) });
        store.Save(Given.Step("V-2", 2));
        Assert.Equal(Verdict.WithinLimits, store.LastAssessment("V-1")?.Verdict);
        Assert.Equal(["V-1", "V-2"], store.LastAssessments().Keys.Order());
    }

    [Fact]
    public void A_step_that_fails_half_way_changes_nothing()
    {
        using PlantStore store = _folder.Open("files");
        store.Commit(Given.Reading("V-1", 1));
        store.Save(Given.Step("V-1", 1) with { Windows = [Given.Window(1)] });
        JobNotice broken = Given.Opened(Given.Job("V-1") with { Key = null! });
        _ = Assert.ThrowsAny<Exception>(() => store.Save(Given.Step("V-1", 2, Given.Opened(Given.Job("V-1")), broken) with
        {
            Rewind = new Rewind(DateTimeOffset.MinValue, DateTimeOffset.MinValue),
            InboxSequence = long.MaxValue,
            Assessment = Given.Assessment(2),
        }));
        Assert.Equal([Given.Window(1)], store.Windows("V-1"));
        Assert.Equal(Given.Assessment(1), store.LastAssessment("V-1"));
        Assert.Equal(Given.Instant(1), store.CheckpointBefore("V-1", DateTimeOffset.MaxValue)?.Instant);
        Assert.Empty(store.Jobs());
        Assert.Empty(store.Pending("files", 10));
        _ = Assert.Single(store.Waiting());
    }

    [Fact]
    public void A_vessel_first_seen_in_a_write_that_failed_is_taken_up_anew()
    {
        using PlantStore store = _folder.Open();
        JobNotice broken = Given.Opened(Given.Job("V-1") with { Key = null! });
        _ = Assert.ThrowsAny<Exception>(() => store.Save(Given.Step("V-1", 2, broken)));
        store.Commit(Given.Reading("V-0", 1));
        store.Commit(Given.Reading("V-1", 1), Given.Reading("V-1", 2));
        Assert.Equal([("V-0", 1L), ("V-1", 2L)], store.ReadingCounts().Select(count => (count.VesselId, count.Count)));
    }
}
