using System.Text.Json;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage.Tables;

/// <summary>
/// What an outside history has still to be told, in the order of commits. Entered in the transaction that commits it, so
/// that nothing is acknowledged to a sender and then missing there; taken out when the history has it.
/// </summary>
internal static class SpoolTable
{
    private const int Readings = 0;
    private const int Window = 1;
    private const int WithdrawnWindow = 2;

    /// <summary>One row a commit: as it is written for each, its bytes are plain.</summary>
    public static void Add(Session session, IReadOnlyCollection<VesselReading> readings)
    {
        ByteWriter writer = new();
        foreach (IGrouping<string, VesselReading> vessel in readings.GroupBy(reading => reading.VesselId, StringComparer.Ordinal))
        {
            byte[] name = System.Text.Encoding.UTF8.GetBytes(vessel.Key);
            writer.Varint((ulong)name.Length);
            writer.Bytes(name);
            writer.Varint((ulong)vessel.Count());
            long before = 0;
            foreach ((_, Reading reading) in vessel)
            {
                writer.Byte((byte)reading.Signal);
                writer.Signed(reading.Instant.UtcTicks - before);
                writer.Double(reading.Value);
                before = reading.Instant.UtcTicks;
            }
        }

        Add(session, Readings, "", writer.Written, readings.Count);
    }

    public static void Add(Session session, string vesselId, PrechargeWindow window, bool withdrawn) =>
        Add(
            session, withdrawn ? WithdrawnWindow : Window, vesselId,
            JsonSerializer.SerializeToUtf8Bytes(window, StoredJson.Default.PrechargeWindow), 1);

    /// <summary>The oldest entries, whole ones, until there are so many points.</summary>
    public static SpoolBatch Oldest(Session session, int points)
    {
        Statement row = session.Prepare("SELECT sequence, kind, vessel, content, points FROM spool ORDER BY sequence LIMIT ?1").Bind(1, (long)points);
        SpoolBatch batch = new();
        for (int found = 0; found < points && row.Row(); found += row.Int(4))
        {
            batch.Sequence = row.Long(0);
            switch (row.Int(1))
            {
                case Readings:
                    AddReadings(batch.Readings, row.Bytes(3));
                    break;
                default:
                    batch.Windows.Add(new SpooledWindow(
                        row.Text(2), StoredJson.Read(row, 3, StoredJson.Default.PrechargeWindow), row.Int(1) == WithdrawnWindow));
                    break;
            }
        }

        _ = row.Reset();
        return batch;
    }

    public static void RemoveUpTo(Session session, long sequence) =>
        session.Prepare("DELETE FROM spool WHERE sequence <= ?1").Bind(1, sequence).Run();

    /// <summary>Points that wait.</summary>
    public static long Points(Session session) => MarkTable.Get(session, MarkTable.SpooledPoints);

    /// <summary>A running sum of the points, so that the bound costs no look at all rows.</summary>
    public const string Sums =
        """
        INSERT INTO mark VALUES ('spooled points', (SELECT coalesce(sum(points), 0) FROM spool)), ('spool given up', 0);
        CREATE TRIGGER spool_entered AFTER INSERT ON spool BEGIN
            UPDATE mark SET value = value + new.points WHERE name = 'spooled points';
        END;
        CREATE TRIGGER spool_left AFTER DELETE ON spool BEGIN
            UPDATE mark SET value = value - old.points WHERE name = 'spooled points';
        END;
        """;

    /// <summary>Gives up the oldest entries beyond so many points; what they tell stays in the store itself.</summary>
    public static void Bound(Session session, long mostPoints)
    {
        long before = MarkTable.Get(session, MarkTable.SpooledPoints);
        if (before <= mostPoints)
        {
            return;
        }

        while (MarkTable.Get(session, MarkTable.SpooledPoints) > mostPoints)
        {
            _ = session.Prepare("DELETE FROM spool WHERE sequence = (SELECT min(sequence) FROM spool)").Run();
        }

        MarkTable.Raise(
            session,
            MarkTable.SpoolGivenUp,
            MarkTable.Get(session, MarkTable.SpoolGivenUp) + before - MarkTable.Get(session, MarkTable.SpooledPoints));
    }

    private static void Add(Session session, int kind, string vessel, ReadOnlySpan<byte> content, int points) =>
        session
            .Prepare("INSERT INTO spool (kind, vessel, points, content) VALUES (?1, ?2, ?3, ?4)")
            .Bind(1, (long)kind)
            .Bind(2, vessel)
            .Bind(3, (long)points)
            .Bind(4, content)
            .Run();

    private static void AddReadings(List<VesselReading> readings, ReadOnlySpan<byte> content)
    {
        ByteReader reader = new(content);
        while (!reader.Rest.IsEmpty)
        {
            string vessel = System.Text.Encoding.UTF8.GetString(reader.Take(reader.Count(int.MaxValue)));
            int count = reader.Count(int.MaxValue);
            long ticks = 0;
            for (int i = 0; i < count; i++)
            {
                var signal = (Signal)reader.Byte();
                ticks += reader.Signed();
                readings.Add(new VesselReading(vessel, new Reading(signal, Instants.FromTicks(ticks), reader.Double())));
            }
        }
    }
}
