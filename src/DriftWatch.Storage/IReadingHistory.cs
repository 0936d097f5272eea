namespace DriftWatch.Storage;

/// <summary>Port: where pages and programs read raw readings back from.</summary>
public interface IReadingHistory
{
    /// <summary>The first readings of a vessel in a span of time, all its signals.</summary>
    /// <param name="vesselId">The vessel; one not known gives none.</param>
    /// <param name="from">Begin of the span, UTC, included.</param>
    /// <param name="to">End of the span, UTC, included; not before <paramref name="from"/>.</param>
    /// <param name="limit">At most so many; 1 or more.</param>
    /// <param name="stop">Gives up.</param>
    /// <exception cref="ArgumentOutOfRangeException">The span ends before it begins, or the limit is below 1.</exception>
    /// <exception cref="StoreUnavailableException">The store cannot be read.</exception>
    Task<ReadingExcerpt> FirstAsync(string vesselId, DateTimeOffset from, DateTimeOffset to, int limit, CancellationToken stop);
}
