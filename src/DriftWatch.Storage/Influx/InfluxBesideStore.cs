using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Influx;

/// <summary>
/// The history where an InfluxDB stands beside the embedded store: what either holds. InfluxDB may keep readings whose
/// retention in the store is over; the store has those that wait in the spool or were committed before InfluxDB was there.
/// When InfluxDB does not answer, the store answers alone and says so.
/// </summary>
public sealed class InfluxBesideStore(PlantStore store, IReadingHistory influx, TimeProvider clock) : IReadingHistory
{
    /// <summary>A reader at a page waits no longer for it.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    /// <summary>A server that is away is not asked at each page.</summary>
    private static readonly TimeSpan AskAgainAfter = TimeSpan.FromSeconds(30);

    private volatile Failure? _last;

    /// <summary>Why InfluxDB did not answer when it was last asked; null when it did.</summary>
    public string? Fault => _last?.Reason;

    /// <inheritdoc/>
    public async Task<ReadingExcerpt> FirstAsync(string vesselId, DateTimeOffset from, DateTimeOffset to, int limit, CancellationToken stop)
    {
        IReadOnlyList<Reading> held = store.Readings(vesselId, from, to, limit);
        if (_last is { } failure && clock.GetElapsedTime(failure.At) < AskAgainAfter)
        {
            return new ReadingExcerpt(held, Note(failure.Reason));
        }

        try
        {
            using CancellationTokenSource patience = new(Patience, clock);
            using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(patience.Token, stop);
            ReadingExcerpt outside = await influx.FirstAsync(vesselId, from, to, limit, either.Token).WaitAsync(either.Token);
            _last = null;

            // The store is the system of record: of two readings with one key, its own counts.
            return new ReadingExcerpt([.. held.Concat(outside.Readings).DistinctBy(reading => (reading.Instant, reading.Signal)).Order().Take(limit)]);
        }
        catch (Exception exception) when (!stop.IsCancellationRequested && exception is not OutOfMemoryException)
        {
            string reason = exception is OperationCanceledException ? $"it gave no answer within {Patience.TotalSeconds:0} s" : exception.Message;
            _last = new Failure(clock.GetTimestamp(), reason);
            return new ReadingExcerpt(held, Note(reason));
        }
    }

    private static string Note(string reason) =>
        $"InfluxDB does not answer ({reason.Trim().TrimEnd('.')}): these readings are from the embedded store alone, and those past its retention are missing.";

    /// <summary>By the time that runs on whatever is done to the clock.</summary>
    private sealed record Failure(long At, string Reason);
}
