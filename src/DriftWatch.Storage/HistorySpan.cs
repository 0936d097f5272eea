using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>What the histories share: the checks of a request, and means of intervals.</summary>
internal static class HistorySpan
{
    public static void Check(DateTimeOffset from, DateTimeOffset to, TimeSpan? every)
    {
        if (!(to > from))
        {
            throw new ArgumentOutOfRangeException(nameof(to), to, $"The span must end after its begin, {from:O}.");
        }

        if (every is { } interval && !(interval >= TimeSpan.FromSeconds(1) && interval.Ticks % TimeSpan.TicksPerSecond == 0))
        {
            throw new ArgumentOutOfRangeException(nameof(every), every, "The interval must be a whole number of seconds, 1 s or more.");
        }
    }

    /// <summary>Means of the intervals that have readings.</summary>
    public static IEnumerable<Reading> Means(IEnumerable<Reading> ordered, DateTimeOffset to, TimeSpan every)
    {
        long epoch = DateTimeOffset.UnixEpoch.UtcTicks;
        foreach (IGrouping<long, Reading> interval in ordered.GroupBy(reading => (long)Math.Floor((reading.Instant.UtcTicks - epoch) / (double)every.Ticks)))
        {
            DateTimeOffset end = DateTimeOffset.UnixEpoch.AddTicks((interval.Key + 1) * every.Ticks);
            yield return new Reading(interval.First().Signal, end < to ? end : to, interval.Average(reading => reading.Value));
        }
    }
}
