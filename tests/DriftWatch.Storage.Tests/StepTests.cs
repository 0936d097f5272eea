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
