using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>All readings of a vessel, from blocks and rows, in the one order.</summary>
internal static class HeldReadings
{
    /// <summary>Readings of a vessel after an instant, in the order of <see cref="Reading.CompareTo"/>, streamed.</summary>
    public static IEnumerable<Reading> After(Session session, string vesselId, DateTimeOffset instant) =>
        VesselTable.Find(session, vesselId) is { } vessel ? After(session, vessel, instant) : [];

    public static IEnumerable<Reading> After(Session session, long vessel, DateTimeOffset instant)
    {
        using IEnumerator<Reading> rows = RecentTable.After(session, vessel, instant.UtcTicks).GetEnumerator();
        bool row = rows.MoveNext();
        foreach (Reading[] block in BlockTable.From(session, vessel, Slots.DayOf(instant.UtcTicks)))
        {
            foreach (Reading reading in block)
            {
                if (reading.Instant <= instant)
                {
                    continue;
                }

                // A late reading of a day that has its block already waits among the rows for the next sealing.
                for (; row && rows.Current < reading; row = rows.MoveNext())
                {
                    yield return rows.Current;
                }

                yield return reading;
            }
        }

        for (; row; row = rows.MoveNext())
        {
            yield return rows.Current;
        }
    }
}
