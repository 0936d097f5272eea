using DriftWatch.Plant.History;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Which vessels have readings that wait to be taken in: one row for each commit and vessel.</summary>
internal static class InboxTable
{
    public static void Add(Session session, long vessel, long earliestTicks) =>
        session.Prepare("INSERT INTO inbox (vessel, earliest) VALUES (?1, ?2)").Bind(1, vessel).Bind(2, earliestTicks).Run();

    public static void RemoveUpTo(Session session, long vessel, long sequence) =>
        session.Prepare("DELETE FROM inbox WHERE vessel = ?1 AND sequence <= ?2").Bind(1, vessel).Bind(2, sequence).Run();

    /// <summary>All vessels that wait, the longest-waiting first.</summary>
    public static IReadOnlyList<VesselInbox> Waiting(Session session)
    {
        Statement row = session.Prepare(
            """
            SELECT name, max(sequence), min(earliest) FROM inbox JOIN vessel ON vessel.id = inbox.vessel
            GROUP BY inbox.vessel ORDER BY min(sequence)
            """);
        List<VesselInbox> waiting = [];
        while (row.Row())
        {
            waiting.Add(new VesselInbox(row.Text(0), row.Long(1), Instants.FromTicks(row.Long(2))));
        }

        return waiting;
    }

    /// <summary>What waits of one vessel, or null.</summary>
    public static VesselInbox? Waiting(Session session, string vesselId)
    {
        Statement row = session
            .Prepare($"SELECT max(sequence), min(earliest) FROM inbox WHERE vessel = {VesselTable.NumberOf}")
            .Bind(1, vesselId);
        VesselInbox? waiting = row.Row() && !row.IsNull(0)
            ? new VesselInbox(vesselId, row.Long(0), Instants.FromTicks(row.Long(1)))
            : null;
        _ = row.Reset();
        return waiting;
    }
}
