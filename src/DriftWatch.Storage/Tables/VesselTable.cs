using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Vessel ids and the small numbers that stand for them in the other tables.</summary>
internal sealed class VesselTable
{
    /// <summary>The number of a vessel by its id, as a scalar for queries that read.</summary>
    public const string NumberOf = "(SELECT id FROM vessel WHERE name = ?1)";

    private readonly Dictionary<string, long> _numbers = new(StringComparer.Ordinal);

    /// <summary>The number of a vessel, given on first sight. Under the write lock.</summary>
    public long NumberNeedsLock(Session session, string vesselId)
    {
        if (_numbers.TryGetValue(vesselId, out long number))
        {
            return number;
        }

        ArgumentException.ThrowIfNullOrEmpty(vesselId);
        _ = session.Prepare("INSERT INTO vessel (name) VALUES (?1) ON CONFLICT (name) DO NOTHING").Bind(1, vesselId).Run();
        Statement find = session.Prepare("SELECT id FROM vessel WHERE name = ?1").Bind(1, vesselId);
        _ = find.Row();
        number = find.Long(0);
        _ = find.Reset();
        _numbers.Add(vesselId, number);
        return number;
    }

    /// <summary>Forgets all numbers: one given inside a write that was rolled back is void. Under the write lock.</summary>
    public void ForgetNeedsLock() => _numbers.Clear();

    /// <summary>Adds to the count of readings held of a vessel.</summary>
    public static void AddReadings(Session session, long vessel, int count) =>
        session.Prepare("UPDATE vessel SET readings = readings + ?2 WHERE id = ?1").Bind(1, vessel).Bind(2, (long)count).Run();

    public static IReadOnlyList<VesselReadingCount> ReadingCounts(Session session)
    {
        Statement row = session.Prepare(
            """
            SELECT name, readings,
                (SELECT instant FROM reading WHERE vessel = v.id ORDER BY instant LIMIT 1),
                (SELECT instant FROM reading WHERE vessel = v.id ORDER BY instant DESC LIMIT 1)
            FROM vessel AS v ORDER BY name
            """);
        List<VesselReadingCount> counts = [];
        while (row.Row())
        {
            counts.Add(new VesselReadingCount(row.Text(0), row.Long(1), InstantOrNull(row, 2), InstantOrNull(row, 3)));
        }

        return counts;
    }

    private static DateTimeOffset? InstantOrNull(Statement row, int column) =>
        row.IsNull(column) ? null : Instants.FromTicks(row.Long(column));
}
