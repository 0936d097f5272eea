using DriftWatch.Plant.History;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>States to go on from, thinned by <see cref="CheckpointRetention"/>.</summary>
internal static class CheckpointTable
{
    public static void Put(Session session, long vessel, VesselCheckpoint checkpoint)
    {
        _ = session
            .Prepare("INSERT INTO checkpoint (vessel, instant, state) VALUES (?1, ?2, ?3) ON CONFLICT (vessel, instant) DO UPDATE SET state = excluded.state")
            .Bind(1, vessel)
            .Bind(2, checkpoint.Instant.UtcTicks)
            .Bind(3, checkpoint.State.Span)
            .Run();
        foreach (DateTimeOffset superfluous in CheckpointRetention.Superfluous(Kept(session, vessel)))
        {
            _ = session
                .Prepare("DELETE FROM checkpoint WHERE vessel = ?1 AND instant = ?2")
                .Bind(1, vessel)
                .Bind(2, superfluous.UtcTicks)
                .Run();
        }
    }

    public static void RemoveAfter(Session session, long vessel, DateTimeOffset instant) =>
        session.Prepare("DELETE FROM checkpoint WHERE vessel = ?1 AND instant > ?2").Bind(1, vessel).Bind(2, instant.UtcTicks).Run();

    public static VesselCheckpoint? NewestBefore(Session session, string vesselId, DateTimeOffset instant)
    {
        Statement row = session
            .Prepare($"SELECT instant, state FROM checkpoint WHERE vessel = {VesselTable.NumberOf} AND instant < ?2 ORDER BY instant DESC LIMIT 1")
            .Bind(1, vesselId)
            .Bind(2, instant.UtcTicks);
        VesselCheckpoint? newest = row.Row() ? new VesselCheckpoint(Instants.FromTicks(row.Long(0)), row.Bytes(1).ToArray()) : null;
        _ = row.Reset();
        return newest;
    }

    /// <summary>Instant of the newest checkpoint of a vessel before an instant, in ticks; null where there is none.</summary>
    public static long? NewestBefore(Session session, long vessel, long ticks)
    {
        Statement row = session.Prepare("SELECT max(instant) FROM checkpoint WHERE vessel = ?1 AND instant < ?2").Bind(1, vessel).Bind(2, ticks);
        long? newest = row.Row() && !row.IsNull(0) ? row.Long(0) : null;
        _ = row.Reset();
        return newest;
    }

    private static List<DateTimeOffset> Kept(Session session, long vessel)
    {
        Statement row = session.Prepare("SELECT instant FROM checkpoint WHERE vessel = ?1 ORDER BY instant").Bind(1, vessel);
        List<DateTimeOffset> kept = [];
        while (row.Row())
        {
            kept.Add(Instants.FromTicks(row.Long(0)));
        }

        return kept;
    }
}
