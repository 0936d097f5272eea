using DriftWatch.Plant.History;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

public sealed class ConcurrencyTests : IDisposable
{
    /// <summary>Fewer than the inbox remembers one by one (64): beyond it a slow step may take some in again, to the same answer.</summary>
    private const int Commits = 60;
    private const int Vessels = 6;

    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Ingest_assessment_and_delivery_at_once_lose_nothing_and_take_each_reading_in_once()
    {
        using PlantStore store = _folder.Open("files", "mqtt");
        using CancellationTokenSource delivering = new();
        Task ingest = Task.Run(() => Ingest(store), TestContext.Current.CancellationToken);
        Task<int>[] workers = [.. Enumerable.Range(0, 2).Select(worker => Task.Run(() => Assess(store, worker, ingest), TestContext.Current.CancellationToken))];
        Task<List<string>>[] deliveries = [.. new[] { "files", "mqtt" }.Select(channel => Task.Run(() => Deliver(store, channel, delivering.Token), TestContext.Current.CancellationToken))];
        await ingest;
        int[] takenIn = await Task.WhenAll(workers);
        await delivering.CancelAsync();
        List<string>[] delivered = await Task.WhenAll(deliveries);

        Assert.Equal(Commits * Vessels, takenIn.Sum());
        Assert.Empty(store.Waiting());
        Assert.All(delivered, keys => Assert.Equal(store.Jobs().Count, keys.Count));
        Assert.All(delivered, keys => Assert.Equal(keys.Count, keys.Distinct().Count()));
    }

    private static void Ingest(PlantStore store)
    {
        for (int commit = 0; commit < Commits; commit++)
        {
            store.Commit([.. Enumerable.Range(0, Vessels).Select(vessel => Given.Reading($"V-{vessel}", commit))], []);
        }
    }

    /// <summary>Takes in the readings of every second vessel until the ingest has ended and nothing waits; in-order data never looks late.</summary>
    private static int Assess(PlantStore store, int worker, Task ingest)
    {
        int takenIn = 0;
        while (true)
        {
            bool ended = ingest.IsCompleted;
            VesselInbox[] mine = [.. store.Waiting().Where(waiting => waiting.VesselId[^1] % 2 == worker)];
            if (mine.Length == 0 && ended)
            {
                return takenIn;
            }

            foreach (VesselInbox waiting in mine)
            {
                using IVesselView view = store.View(waiting.VesselId);
                DateTimeOffset from = store.CheckpointBefore(waiting.VesselId, DateTimeOffset.MaxValue)?.Instant ?? DateTimeOffset.MinValue;
                Assert.True(view.Inbox!.Earliest > from, "in-order readings are never late");
                DateTimeOffset[] instants = [.. view.ReadingsAfter(from).Select(reading => reading.Instant)];
                takenIn += instants.Length;
                store.Save(Given.Step(waiting.VesselId, 0, Given.Opened(Given.Job(waiting.VesselId, instants[^1].Ticks.ToString(System.Globalization.CultureInfo.InvariantCulture)))) with
                {
                    InboxSequence = view.Inbox.InboxSequence,
                    Checkpoint = new VesselCheckpoint(instants[^1], new byte[] { 1 }),
                });
            }
        }
    }

    private static List<string> Deliver(PlantStore store, string channel, CancellationToken ended)
    {
        List<string> keys = [];
        while (true)
        {
            bool last = ended.IsCancellationRequested;
            IReadOnlyList<OutboxEntry> pending = store.Pending(channel, 16);
            foreach (OutboxEntry entry in pending)
            {
                keys.Add(entry.Notice.Key);
                store.MarkDelivered(channel, entry.Sequence);
            }

            if (pending.Count == 0 && last)
            {
                return keys;
            }
        }
    }
}
