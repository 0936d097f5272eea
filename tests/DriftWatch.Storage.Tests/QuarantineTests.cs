using System.Text;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

public sealed class QuarantineTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static QuarantinedMessage Message(string source, int number) =>
        new(source, Given.Instant(number), $"reason {number}", Encoding.UTF8.GetBytes($"payload {number}"));

    private PlantStore Open(int perSource, int sources) =>
        new(new StoreOptions { Path = _folder.File, QuarantinedPerSource = perSource, QuarantineSources = sources });

    [Fact]
    public void A_message_set_aside_stays_readable()
    {
        byte[] payload = [0, 255, 128, 0];
        using (PlantStore store = Open(10, 10))
        {
            store.Commit([], [new QuarantinedMessage("plant/a", Given.Instant(1), "no JSON", payload), new QuarantinedMessage("plant/b", Given.Instant(2), "empty", default)]);
        }

        using PlantStore reopened = Open(10, 10);
        IReadOnlyList<QuarantineSource> sources = reopened.Quarantine();
        Assert.Equal(["plant/a", "plant/b"], sources.Select(source => source.Source));
        QuarantinedMessage kept = Assert.Single(sources[0].Kept);
        Assert.Equal((Given.Instant(1), "no JSON"), (kept.Arrived, kept.Reason));
        Assert.Equal(payload, kept.Payload.ToArray());
        Assert.Equal(0, Assert.Single(sources[1].Kept).Payload.Length);
    }

    [Fact]
    public void Of_each_source_the_newest_are_kept_and_all_are_counted()
    {
        using PlantStore store = Open(3, 10);
        store.Commit([], [.. Enumerable.Range(0, 7).Select(number => Message("a", number)), Message("b", 0)]);
        store.Commit([], [Message("a", 7)]);
        QuarantineSource source = store.Quarantine()[0];
        Assert.Equal(8, source.Count);
        Assert.Equal(["reason 7", "reason 6", "reason 5"], source.Kept.Select(message => message.Reason));
        Assert.Equal(1, store.Quarantine()[1].Count);
    }

    [Fact]
    public void A_message_that_comes_again_is_counted_and_kept_once()
    {
        using PlantStore store = Open(10, 10);
        store.Commit([], [Message("a", 1), Message("a", 2)]);
        store.Commit([], [Message("a", 1) with { Arrived = Given.Instant(9) }, Message("b", 1)]);
        QuarantineSource source = store.Quarantine()[0];
        Assert.Equal(3, source.Count);
        Assert.Equal(["reason 1", "reason 2"], source.Kept.Select(message => message.Reason));
        Assert.Equal(Given.Instant(9), source.Kept[0].Arrived);
        Assert.Single(store.Quarantine()[1].Kept);
    }

    [Fact]
    public void Sources_beyond_the_limit_are_added_up()
    {
        using PlantStore store = Open(3, 2);
        store.Commit([], [Message("a", 0), Message("a", 1), Message("b", 2), Message("c", 3)]);
        store.Commit([], [Message("b", 4)]);
        store.Commit([], [Message("d", 5)]);
        Assert.Equal(
            [(QuarantineSource.Earlier, 3L, 0), ("b", 2L, 2), ("d", 1L, 1)],
            store.Quarantine().Select(source => (source.Source, source.Count, source.Kept.Count)));
    }
}
