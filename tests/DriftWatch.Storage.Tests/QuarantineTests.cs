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

    /// <summary>The digest by a second program: <c>head -c 1048576 /dev/zero | sha256sum</c>.</summary>
    [Fact]
    public void Of_a_large_payload_a_sample_is_kept_with_its_length_and_digest()
    {
        using PlantStore store = Open(10, 10);
        store.Commit([], [new QuarantinedMessage("a", Given.Instant(0), "too large", new byte[1 << 20])]);
        QuarantinedMessage kept = Assert.Single(Assert.Single(store.Quarantine()).Kept);
        Assert.Equal((4096, 1L << 20), (kept.Payload.Length, kept.Length));
        Assert.Equal("30E14955EBF1352266DC2FF8067E68104607E750ABB9D3B36582B8AF909FCB58", kept.Digest);
    }

    [Fact]
    public void Beyond_the_bytes_kept_the_oldest_samples_give_way_and_the_counts_stay()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, QuarantineBytes = 64 << 10 });
        byte[] Payload(int number) => [.. BitConverter.GetBytes(number), .. new byte[10_000]];
        for (int number = 0; number < 60; number++)
        {
            store.Commit([], [new QuarantinedMessage($"source {number % 3}", Given.Instant(number), "rubbish", Payload(number))]);
        }

        IReadOnlyList<QuarantineSource> sources = store.Quarantine();
        Assert.Equal([20L, 20, 20], sources.Select(source => source.Count));
        QuarantinedMessage[] kept = [.. sources.SelectMany(source => source.Kept)];
        Assert.InRange(kept.Sum(message => message.Payload.Length), 1, 64 << 10);
        Assert.Contains(kept, message => message.Arrived == Given.Instant(59));
        Assert.DoesNotContain(kept, message => message.Arrived == Given.Instant(0));
    }

    [Fact]
    public void What_counts_once_is_not_counted_again()
    {
        using PlantStore store = Open(10, 10);
        QuarantinedMessage sample = Message("A1.csv", 1) with { CountsOnce = true };
        store.Commit([], [sample]);
        store.Commit([], [sample with { Arrived = Given.Instant(2) }]);
        Assert.Equal(1, Assert.Single(store.Quarantine()).Count);
        store.Commit([], [sample with { Reason = "another" }]);
        Assert.Equal(2, Assert.Single(store.Quarantine()).Count);
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
