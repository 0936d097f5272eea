using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>Readings of days that are over: one block a vessel and day.</summary>
internal static class BlockTable
{
    private const int DayBits = 22;

    /// <summary>Key of a block; days of a vessel stand in a row.</summary>
    public static long Id(long vessel, long day) => (vessel << DayBits) | day;

    public static long DayOf(long id) => id & ((1L << DayBits) - 1);

    public static long VesselOf(long id) => id >> DayBits;

    public static Reading[]? Find(Session session, long vessel, long day)
    {
        Statement row = session.Prepare("SELECT content FROM reading_block WHERE id = ?1").Bind(1, Id(vessel, day));
        Reading[]? readings = row.Row() ? Decode(row.Bytes(0)) : null;
        _ = row.Reset();
        return readings;
    }

    public static void Put(Session session, long vessel, long day, IReadOnlyList<Reading> readings) =>
        session
            .Prepare(
                """
                INSERT INTO reading_block (id, readings, content) VALUES (?1, ?2, ?3)
                ON CONFLICT (id) DO UPDATE SET readings = excluded.readings, content = excluded.content
                """)
            .Bind(1, Id(vessel, day))
            .Bind(2, (long)readings.Count)
            .Bind(3, ReadingBlock.Encode(readings))
            .Run();

    public static void Remove(Session session, long vessel, long day) =>
        session.Prepare("DELETE FROM reading_block WHERE id = ?1").Bind(1, Id(vessel, day)).Run();

    /// <summary>The blocks of a vessel from a day on, in order.</summary>
    public static IEnumerable<Reading[]> From(Session session, long vessel, long day)
    {
        for (long next = Id(vessel, day); ;)
        {
            Statement row = session
                .Prepare("SELECT id, content FROM reading_block WHERE id >= ?1 AND id < ?2 ORDER BY id LIMIT 1")
                .Bind(1, next)
                .Bind(2, Id(vessel + 1, 0));
            if (!row.Row())
            {
                yield break;
            }

            next = row.Long(0) + 1;
            Reading[] readings = Decode(row.Bytes(1));
            _ = row.Reset();
            yield return readings;
        }
    }

    /// <summary>The first days of a vessel that have a block and are not after a day, in order.</summary>
    public static IReadOnlyList<long> DaysUpTo(Session session, long vessel, long day, int most)
    {
        Statement row = session
            .Prepare("SELECT id FROM reading_block WHERE id >= ?1 AND id <= ?2 ORDER BY id LIMIT ?3")
            .Bind(1, Id(vessel, 0))
            .Bind(2, Id(vessel, day))
            .Bind(3, (long)most);
        List<long> days = [];
        while (row.Row())
        {
            days.Add(DayOf(row.Long(0)));
        }

        return days;
    }

    /// <summary>The newest days of a vessel that have a block, the newest first.</summary>
    public static IReadOnlyList<long> NewestDays(Session session, long vessel, int most)
    {
        Statement row = session
            .Prepare("SELECT id FROM reading_block WHERE id >= ?1 AND id < ?2 ORDER BY id DESC LIMIT ?3")
            .Bind(1, Id(vessel, 0))
            .Bind(2, Id(vessel + 1, 0))
            .Bind(3, (long)most);
        List<long> days = [];
        while (row.Row())
        {
            days.Add(DayOf(row.Long(0)));
        }

        return days;
    }

    private static Reading[] Decode(ReadOnlySpan<byte> content)
    {
        try
        {
            return ReadingBlock.Decode(content);
        }
        catch (InvalidDataException failure)
        {
            throw new StoreUnavailableException($"{failure.Message} The file is damaged or was written by another version.", failure);
        }
    }
}
