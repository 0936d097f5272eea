using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>Port: where charts read raw readings back from, the embedded store or InfluxDB.</summary>
public interface IReadingHistory
{
    /// <summary>Readings of one signal in a span of time, in order.</summary>
    /// <param name="vesselId">The vessel; one not known gives none.</param>
    /// <param name="signal">The signal.</param>
    /// <param name="from">Begin of the span, UTC, included.</param>
    /// <param name="to">End of the span, UTC, not included; after <paramref name="from"/>.</param>
    /// <param name="every">
    /// Whole seconds, 1 or more: the mean of each interval (counted from 1970-01-01T00:00Z) that has readings, at the end of the
    /// interval or of the span. Null for the readings themselves.
    /// </param>
    /// <param name="stop">Gives up.</param>
    /// <exception cref="ArgumentOutOfRangeException">The span is empty, or the interval is no whole number of seconds.</exception>
    Task<IReadOnlyList<Reading>> ReadAsync(
        string vesselId, Signal signal, DateTimeOffset from, DateTimeOffset to, TimeSpan? every, CancellationToken stop);
}
