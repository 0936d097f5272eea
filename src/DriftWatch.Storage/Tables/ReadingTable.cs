using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>Readings, in the order in which they are taken in: vessel, instant, signal.</summary>
internal static class ReadingTable
{
    /// <summary>Inserts the readings that are new, and says in the inbox which vessels have some.</summary>
    public static void Insert(Session session, VesselTable vessels, IReadOnlyCollection<VesselReading> readings)
    {
        Row[] rows = new Row[readings.Count];
        int filled = 0;
        foreach (VesselReading reading in readings)
        {
            rows[filled] = new Row(
                vessels.NumberNeedsLock(session, reading.VesselId),
                reading.Reading.Instant.UtcTicks,
                (byte)reading.Reading.Signal,
                filled,
                reading.Reading.Value);
            filled++;
        }

        // In key order neighbours land on the same page, and each vessel's rows stand together.
        Array.Sort(rows);
        Statement insert = session.Prepare("INSERT INTO reading (vessel, instant, signal, value) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING");
        for (int start = 0; start < rows.Length;)
        {
            long vessel = rows[start].Vessel;
            int inserted = 0;
            long earliest = long.MaxValue;
            int next = start;
            for (; next < rows.Length && rows[next].Vessel == vessel; next++)
            {
                ref readonly Row row = ref rows[next];
                if (insert.Bind(1, row.Vessel).Bind(2, row.Instant).Bind(3, (long)row.Signal).Bind(4, row.Value).Run() == 1)
                {
                    inserted++;
                    earliest = Math.Min(earliest, row.Instant);
                }
            }

            if (inserted > 0)
            {
                VesselTable.AddReadings(session, vessel, inserted);
                InboxTable.Add(session, vessel, earliest);
            }

            start = next;
        }
    }

    /// <summary>Readings of a vessel after an instant, in order.</summary>
    public static IEnumerable<Reading> After(Session session, string vesselId, DateTimeOffset instant)
    {
        Statement row = session
            .Prepare($"SELECT instant, signal, value FROM reading WHERE vessel = {VesselTable.NumberOf} AND instant > ?2 ORDER BY instant, signal")
            .Bind(1, vesselId)
            .Bind(2, instant.UtcTicks);
        try
        {
            while (row.Row())
            {
                yield return new Reading((Signal)row.Int(1), Instants.FromTicks(row.Long(0)), row.Double(2));
            }
        }
        finally
        {
            _ = row.Reset();
        }
    }

    /// <summary>Readings of a vessel in a span, both ends included, in order; at most so many.</summary>
    public static IReadOnlyList<Reading> Between(Session session, string vesselId, DateTimeOffset from, DateTimeOffset to, int limit)
    {
        Statement row = session
            .Prepare($"SELECT instant, signal, value FROM reading WHERE vessel = {VesselTable.NumberOf} AND instant BETWEEN ?2 AND ?3 ORDER BY instant, signal LIMIT ?4")
            .Bind(1, vesselId)
            .Bind(2, from.UtcTicks)
            .Bind(3, to.UtcTicks)
            .Bind(4, (long)limit);
        List<Reading> readings = [];
        while (row.Row())
        {
            readings.Add(new Reading((Signal)row.Int(1), Instants.FromTicks(row.Long(0)), row.Double(2)));
        }

        return readings;
    }

    /// <summary>One row on its way in; <c>Order</c> makes the first of two readings with one key win.</summary>
    private readonly record struct Row(long Vessel, long Instant, byte Signal, int Order, double Value) : IComparable<Row>
    {
        public int CompareTo(Row other)
        {
            int order = Vessel.CompareTo(other.Vessel);
            order = order != 0 ? order : Instant.CompareTo(other.Instant);
            order = order != 0 ? order : Signal.CompareTo(other.Signal);
            return order != 0 ? order : Order.CompareTo(other.Order);
        }
    }
}
