using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Hourly roll-ups of days whose raw readings are past their retention: one block a vessel and day.</summary>
internal static class RollUpTable
{
    public static void Put(Session session, long vessel, long day, IReadOnlyList<HourlyRollUp> hours) =>
        session
            .Prepare("INSERT INTO roll_up (id, content) VALUES (?1, ?2) ON CONFLICT (id) DO NOTHING")
            .Bind(1, BlockTable.Id(vessel, day))
            .Bind(2, RollUpBlock.Encode(hours))
            .Run();

    public static bool HasUpTo(Session session, long vessel, long day) =>
        session
            .Prepare("SELECT 1 FROM roll_up WHERE id >= ?1 AND id <= ?2 LIMIT 1")
            .Bind(1, BlockTable.Id(vessel, 0))
            .Bind(2, BlockTable.Id(vessel, day))
            .First() is not null;

    public static void RemoveUpTo(Session session, long vessel, long day) =>
        session
            .Prepare("DELETE FROM roll_up WHERE id >= ?1 AND id <= ?2")
            .Bind(1, BlockTable.Id(vessel, 0))
            .Bind(2, BlockTable.Id(vessel, day))
            .Run();

    /// <summary>The roll-ups of a vessel, in order of hour and signal.</summary>
    public static IReadOnlyList<HourlyRollUp> All(Session session, string vesselId)
    {
        if (VesselTable.Find(session, vesselId) is not { } vessel)
        {
            return [];
        }

        Statement row = session
            .Prepare("SELECT content FROM roll_up WHERE id >= ?1 AND id < ?2 ORDER BY id")
            .Bind(1, BlockTable.Id(vessel, 0))
            .Bind(2, BlockTable.Id(vessel + 1, 0));
        List<HourlyRollUp> hours = [];
        while (row.Row())
        {
            hours.AddRange(RollUpBlock.Decode(row.Bytes(0)));
        }

        return hours;
    }
}
