using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>Queries for those who only look.</summary>
public sealed partial class PlantStore
{
    /// <summary>Readings of a vessel in a span of time, in the order of <see cref="Reading.CompareTo"/>.</summary>
    /// <param name="vesselId">The vessel; one that the store has never heard of has none.</param>
    /// <param name="from">First instant, itself included.</param>
    /// <param name="to">Last instant, itself included; not before <paramref name="from"/>.</param>
    /// <param name="limit">At most so many, the first; at least 1.</param>
    public IReadOnlyList<Reading> Readings(string vesselId, DateTimeOffset from, DateTimeOffset to, int limit)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(to, from);
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        IEnumerable<Reading> all = ReadingsAfter(vesselId, from.UtcTicks > 0 ? from.AddTicks(-1) : from);
        return [.. all.TakeWhile(reading => reading.Instant <= to).Take(limit)];
    }

    /// <summary>Jobs of a vessel that stand open, in the order in which they were raised.</summary>
    public IReadOnlyList<Job> OpenJobs(string vesselId) =>
        [.. LastNotices(vesselId).Where(notice => notice.State == JobState.Open).Select(notice => notice.Job)];

    /// <summary>The assessments that differ from those a watch has seen; it has seen them then.</summary>
    internal IReadOnlyDictionary<string, Trends.Verdicts.Assessment> Changed(AssessmentWatch watch) =>
        _database.Read(session => AssessmentTable.Changed(session, watch));
}
