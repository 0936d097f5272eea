using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;

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

    /// <summary>Windows of many vessels whose middle lies in a span, its beginning included, in order of time; as many as asked for, in their order.</summary>
    public IReadOnlyList<IReadOnlyList<PrechargeWindow>> Windows(IEnumerable<string> vesselIds, DateTimeOffset from, DateTimeOffset to) =>
        _database.Read<IReadOnlyList<IReadOnlyList<PrechargeWindow>>>(session => [.. vesselIds.Select(id => WindowTable.Within(session, id, from, to))]);

    /// <summary>
    /// Windows of a vessel that end after an instant, in order of time; with them those before it, back to the last accepted one,
    /// where none of the later is accepted.
    /// </summary>
    public IReadOnlyList<PrechargeWindow> WindowsSince(string vesselId, DateTimeOffset instant) =>
        _database.Read(session => WindowTable.Since(session, vesselId, instant));

    /// <summary>How often the windows of each vessel have changed, by its id; 0 for those left out.</summary>
    public IReadOnlyDictionary<string, long> WindowChanges() => _database.Read(VesselTable.WindowChangeCounts);

    /// <summary>Jobs that stand, and those raised or ended in a span, its beginning included, in the order in which they were raised.</summary>
    public IReadOnlyList<StoredJob> Jobs(DateTimeOffset from, DateTimeOffset to) => _database.Read(session => JobTable.Within(session, from, to));

    /// <summary>The assessments that differ from those a watch has seen; it has seen them then.</summary>
    internal IReadOnlyDictionary<string, Trends.Verdicts.Assessment> Changed(AssessmentWatch watch) =>
        _database.Read(session => AssessmentTable.Changed(session, watch));
}
