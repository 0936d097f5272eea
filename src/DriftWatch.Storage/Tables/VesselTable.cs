using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Vessel ids and the small numbers that stand for them in the other tables.</summary>
internal sealed class VesselTable
{
    /// <summary>The number of a vessel by its id, as a scalar for queries that read.</summary>
    public const string NumberOf = "(SELECT id FROM vessel WHERE name = ?1)";

    /// <summary>Newest day (since 0001-01-01) of a vessel whose raw readings have been rolled up; -1 for none.</summary>
    public const string Retention =
        """
        ALTER TABLE vessel ADD COLUMN rolled_up INTEGER NOT NULL DEFAULT -1;
        UPDATE vessel SET rolled_up = coalesce((SELECT max(id & 4194303) FROM roll_up WHERE id >> 22 = vessel.id), -1);
        """;

    /// <summary>How often the windows of a vessel have changed, so that whoever remembers them knows when to look again.</summary>
    public const string WindowChanges = "ALTER TABLE vessel ADD COLUMN window_changes INTEGER NOT NULL DEFAULT 0;";

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
        number = Find(session, vesselId)!.Value;
        _numbers.Add(vesselId, number);
        return number;
    }

    /// <summary>Forgets all numbers: one given inside a write that was rolled back is void. Under the write lock.</summary>
    public void ForgetNeedsLock() => _numbers.Clear();

    /// <summary>The number of a vessel, or null for one that is not known.</summary>
    public static long? Find(Session session, string vesselId) =>
        session.Prepare("SELECT id FROM vessel WHERE name = ?1").Bind(1, vesselId).First();

    /// <summary>The highest number given; 0 when there is no vessel.</summary>
    public static long Highest(Session session) => session.Prepare("SELECT max(id) FROM vessel").First() ?? 0;

    /// <summary>Adds to the readings held of a vessel, those that wait apart.</summary>
    public static void AddReadings(Session session, long vessel, long count, long earliestTicks, long latestTicks) =>
        session
            .Prepare(
                """
                UPDATE vessel SET readings = readings + ?2,
                    earliest = min(coalesce(earliest, ?3), ?3), latest = max(coalesce(latest, ?4), ?4)
                WHERE id = ?1
                """)
            .Bind(1, vessel)
            .Bind(2, count)
            .Bind(3, earliestTicks)
            .Bind(4, latestTicks)
            .Run();

    /// <summary>Takes readings past their retention off the count, the earliest of which are gone.</summary>
    public static void RemoveReadings(Session session, long vessel, long count, long? earliestTicks)
    {
        if (earliestTicks is { } earliest)
        {
            _ = session
                .Prepare("UPDATE vessel SET readings = readings - ?2, earliest = max(coalesce(earliest, ?3), ?3) WHERE id = ?1")
                .Bind(1, vessel)
                .Bind(2, count)
                .Bind(3, earliest)
                .Run();
        }
        else
        {
            _ = session
                .Prepare("UPDATE vessel SET readings = readings - ?2, earliest = NULL, latest = NULL WHERE id = ?1")
                .Bind(1, vessel)
                .Bind(2, count)
                .Run();
        }
    }

    /// <summary>Says that raw readings up to a day have been rolled up.</summary>
    public static void RollUpTo(Session session, long vessel, long day) =>
        session.Prepare("UPDATE vessel SET rolled_up = max(rolled_up, ?2) WHERE id = ?1").Bind(1, vessel).Bind(2, day).Run();

    /// <summary>Newest day of any vessel whose raw readings have been rolled up; -1 for none.</summary>
    public static long NewestRolledUp(Session session) => session.Prepare("SELECT max(rolled_up) FROM vessel").First() ?? -1;

    /// <summary>From when on all raw readings of a vessel are held; the minimum where none are gone.</summary>
    public static DateTimeOffset HeldFrom(Session session, string vesselId)
    {
        long day = session.Prepare("SELECT rolled_up FROM vessel WHERE name = ?1").Bind(1, vesselId).First() ?? -1;
        return Instants.FromTicks((day + 1) * TimeSpan.TicksPerDay);
    }

    /// <summary>Says that the windows of a vessel have changed.</summary>
    public static void CountWindowChange(Session session, long vessel) =>
        session.Prepare("UPDATE vessel SET window_changes = window_changes + 1 WHERE id = ?1").Bind(1, vessel).Run();

    /// <summary>How often the windows of each vessel have changed, by its id; those that have none are left out.</summary>
    public static IReadOnlyDictionary<string, long> WindowChangeCounts(Session session)
    {
        Statement row = session.Prepare("SELECT name, window_changes FROM vessel WHERE window_changes > 0");
        Dictionary<string, long> counts = new(StringComparer.Ordinal);
        while (row.Row())
        {
            counts.Add(row.Text(0), row.Long(1));
        }

        return counts;
    }

    public static IReadOnlyList<VesselReadingCount> ReadingCounts(Session session)
    {
        Statement row = session.Prepare(
            """
            SELECT name, v.readings + coalesce(w.readings, 0),
                coalesce(min(v.earliest, w.earliest), v.earliest, w.earliest), coalesce(max(v.latest, w.latest), v.latest, w.latest)
            FROM vessel AS v LEFT JOIN waiting AS w ON w.vessel = v.id ORDER BY name
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
