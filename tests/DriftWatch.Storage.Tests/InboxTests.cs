using DriftWatch.Plant.History;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests;

public sealed class InboxTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_commit_waits_with_its_earliest_new_instant()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 1));
        long first = Assert.Single(store.Waiting()).InboxSequence;
        store.Save(Given.Step("V-1", 1) with { InboxSequence = first });
        Assert.Empty(store.Waiting());

        store.Commit(Given.Reading("V-1", 1), Given.Reading("V-1", 7), Given.Reading("V-1", 5));
        VesselInbox waiting = Assert.Single(store.Waiting());
        Assert.Equal(Given.Instant(5), waiting.Earliest);
        Assert.True(waiting.InboxSequence > first, "a sequence is never used again");
    }

    [Fact]
    public void Known_readings_again_wait_for_nothing()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 1), Given.Reading("V-2", 1));
        VesselInbox[] before = [.. store.Waiting()];
        store.Commit(Given.Reading("V-1", 1), Given.Reading("V-2", 1));
        Assert.Equal(before, store.Waiting());
    }

    [Fact]
    public void Several_commits_wait_as_one_with_newest_sequence_and_earliest_instant()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 9), Given.Reading("V-2", 9));
        store.Commit(Given.Reading("V-2", 4));
        store.Commit(Given.Reading("V-2", 12));
        Assert.Equal(["V-1", "V-2"], store.Waiting().Select(waiting => waiting.VesselId));
        Assert.Equal(Given.Instant(4), store.Waiting()[1].Earliest);

        long newest = store.Waiting()[1].InboxSequence;
        store.Commit(Given.Reading("V-2", 13));
        store.Save(Given.Step("V-2", 12) with { InboxSequence = newest });
        Assert.Equal(Given.Instant(13), store.Waiting().Single(waiting => waiting.VesselId == "V-2").Earliest);
        Assert.Equal(Given.Instant(9), store.Waiting().Single(waiting => waiting.VesselId == "V-1").Earliest);
    }

    [Fact]
    public void A_view_shows_inbox_and_readings_of_one_moment()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 1));
        using (IVesselView view = store.View("V-1"))
        {
            store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 2));
            Assert.Equal(store.Waiting()[0].InboxSequence - 1, view.Inbox?.InboxSequence);
            Assert.Equal(Given.Instant(1), view.Inbox?.Earliest);
            Assert.Equal([Given.Instant(1)], view.ReadingsAfter(DateTimeOffset.MinValue).Select(reading => reading.Instant));
            store.Save(Given.Step("V-1", 1) with { InboxSequence = view.Inbox!.InboxSequence });
        }

        using IVesselView next = store.View("V-1");
        Assert.Equal(Given.Instant(0), next.Inbox?.Earliest);
        Assert.Equal(3, next.ReadingsAfter(DateTimeOffset.MinValue).Count());
    }

    [Fact]
    public void A_view_of_a_vessel_without_readings_is_empty()
    {
        using PlantStore store = _folder.Open();
        using IVesselView view = store.View("nobody");
        Assert.Null(view.Inbox);
        Assert.Empty(view.ReadingsAfter(DateTimeOffset.MinValue));
    }

    [Fact]
    public void A_stream_given_up_half_way_holds_nothing_back()
    {
        using PlantStore store = _folder.Open();
        store.Commit([.. Enumerable.Range(0, 500).Select(hour => Given.Reading("V-1", hour))], []);
        Reading first = store.ReadingsAfter("V-1", DateTimeOffset.MinValue).First();
        Assert.Equal(Given.Instant(0), first.Instant);
        Assert.Equal(500, store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Count());
    }
}
