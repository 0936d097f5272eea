using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Takes committed readings in: the new ones enter, those already held change nothing.</summary>
internal static class ReadingIntake
{
    /// <summary>Rows that share a statement while none of them is held yet, as in an import: stepping it costs more than a row.</summary>
    private const int Together = 32;

    private const string InsertOne = "INSERT INTO recent (slot, vessel, within, value) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";

    /// <summary>All or none: one that is held already undoes the statement.</summary>
    private static readonly string InsertTogether =
        "INSERT INTO recent (slot, vessel, within, value) VALUES " + string.Join(',', Enumerable.Repeat("(?, ?, ?, ?)", Together));

    /// <summary>Two values nearer than this share of themselves are one, written with more or fewer digits or in another unit.</summary>
    private const double SameValue = 1e-9;

    /// <summary>Inserts the readings that are new, and says which vessels have some waiting.</summary>
    /// <returns>
    /// The readings that entered, where they are wanted; how many did and did not; and those to be set aside: of days past their
    /// retention, and a sample a vessel of those that are held with another value.
    /// </returns>
    public static (IReadOnlyList<VesselReading> Entered, CommittedReadings Counts, IReadOnlyList<QuarantinedMessage> NotTaken) Insert(
        Session session, VesselTable vessels, InboxTable inbox, IReadOnlyCollection<VesselReading> readings, bool wanted)
    {
        if (readings.Count == 0)
        {
            return ([], default, []);
        }

        List<QuarantinedMessage> notTaken = [];
        Row[] rows = InKeyOrder(session, vessels, readings, notTaken);
        long lastSealed = MarkTable.Get(session, MarkTable.Sealed);
        Dictionary<(long Vessel, long Day), Dictionary<(DateTimeOffset, Signal), double>?> blocks = [];
        VesselReading[]? given = wanted ? [.. readings] : null;
        List<VesselReading> enteredReadings = [];
        SortedDictionary<long, Arrival> entered = [];
        CommittedReadings counts = new(0, 0, 0, notTaken.Count);
        Dictionary<long, (Row First, double Held, long Count)> differing = [];
        int open = 0;
        for (int i = 0; i < rows.Length; i++)
        {
            if (Slots.DayOfSlot(rows[i].Slot) > lastSealed || Sealed(session, blocks, rows[i]) is not { } held)
            {
                rows[open++] = rows[i];
            }
            else
            {
                Repeat(rows[i], held);
            }
        }

        bool together = true;
        for (int i = 0; i < open;)
        {
            ReadOnlySpan<Row> next = rows.AsSpan(i, together && open - i >= Together ? Together : 1);
            if (next.Length == 1 ? InsertOneRow(session, next[0]) : together = InsertRows(session, next))
            {
                Enter(next);
            }
            else if (next.Length > 1)
            {
                continue; // One of them is held already, and so are others near it: from here on one by one.
            }
            else
            {
                Repeat(next[0], Held(session, next[0]));
            }

            i += next.Length;
        }

        if (entered.Count > 0)
        {
            inbox.AddNeedsLock(session, entered);
        }

        if (differing.Count > 0)
        {
            given ??= [.. readings];
            notTaken.AddRange(differing.Values.Select(one => Differing(given[one.First.Order], one.Held, one.Count)));
        }

        return (enteredReadings, counts, notTaken);

        void Repeat(in Row row, double held)
        {
            if (Math.Abs(row.Value - held) <= SameValue * Math.Max(Math.Abs(row.Value), Math.Abs(held)))
            {
                counts = counts with { Repeated = counts.Repeated + 1 };
                return;
            }

            counts = counts with { Differing = counts.Differing + 1 };
            differing[row.Vessel] = differing.TryGetValue(row.Vessel, out (Row First, double Held, long Count) others)
                ? others with { Count = others.Count + 1 }
                : (row, held, 1);
        }

        void Enter(ReadOnlySpan<Row> added)
        {
            counts = counts with { Entered = counts.Entered + added.Length };
            foreach (ref readonly Row row in added)
            {
                if (wanted)
                {
                    enteredReadings.Add(given![row.Order]);
                }

                long ticks = Slots.TicksOf(row.Slot, row.Within);
                Arrival one = new(0, ticks, ticks, 1);
                entered[row.Vessel] = entered.TryGetValue(row.Vessel, out Arrival others) ? others.JoinedWith(one) : one;
            }
        }
    }

    private static double Held(Session session, in Row row)
    {
        Statement held = session
            .Prepare("SELECT value FROM recent WHERE slot = ?1 AND vessel = ?2 AND within = ?3")
            .Bind(1, row.Slot)
            .Bind(2, row.Vessel)
            .Bind(3, row.Within);
        _ = held.Row();
        double value = held.Double(0);
        _ = held.Reset();
        return value;
    }

    private static bool InsertOneRow(Session session, in Row row) =>
        session.Prepare(InsertOne).Bind(1, row.Slot).Bind(2, row.Vessel).Bind(3, row.Within).Bind(4, row.Value).Run() == 1;

    /// <returns>False, and nothing has changed, when one of them is held already.</returns>
    private static bool InsertRows(Session session, ReadOnlySpan<Row> rows)
    {
        Statement insert = session.Prepare(InsertTogether);
        int parameter = 0;
        foreach (ref readonly Row row in rows)
        {
            insert.Bind(++parameter, row.Slot).Bind(++parameter, row.Vessel).Bind(++parameter, row.Within).Bind(++parameter, row.Value);
        }

        try
        {
            _ = insert.Run();
            return true;
        }
        catch (SqliteException held) when (held.SqliteErrorCode == SQLitePCL.raw.SQLITE_CONSTRAINT)
        {
            return false;
        }
    }

    private static Row[] InKeyOrder(
        Session session, VesselTable vessels, IReadOnlyCollection<VesselReading> readings, List<QuarantinedMessage> notTaken)
    {
        long expired = MarkTable.Get(session, MarkTable.Expired);
        List<Row> rows = new(readings.Count);
        int order = -1;
        foreach ((string vesselId, Reading reading) in readings)
        {
            order++;
            long ticks = reading.Instant.UtcTicks;
            if (Slots.DayOf(ticks) <= expired)
            {
                notTaken.Add(TooOld(vesselId, reading));
                continue;
            }

            rows.Add(new Row(
                Slots.SlotOf(ticks), vessels.NumberNeedsLock(session, vesselId), Slots.WithinOf(ticks, reading.Signal), order, reading.Value));
        }

        CollectionsMarshal.AsSpan(rows).Sort();
        return [.. rows];
    }

    private static QuarantinedMessage TooOld(string vesselId, Reading reading) => new(
        $"late readings of {vesselId}",
        reading.Instant.ToUniversalTime(),
        "It is of a day whose raw readings are past their retention, so it can no longer be taken in: send readings sooner, or lengthen the retention.",
        Written(reading))
    {
        CountsOnce = true,
    };

    private static QuarantinedMessage Differing(VesselReading first, double held, long count) => new(
        $"repeated readings of {first.VesselId}",
        first.Reading.Instant.ToUniversalTime(),
        string.Create(CultureInfo.InvariantCulture, $"{count} came together of which another value is held at the same instant, the first of them {first.Reading.Signal} with {held:R}; what was held first stays: let the source send each instant once, and see its clock."),
        Written(first.Reading))
    {
        CountsOnce = true,
    };

    private static byte[] Written(Reading reading) =>
        Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{reading.Instant.UtcDateTime:O};{reading.Signal};{reading.Value:R}"));

    /// <summary>The value held in a block; null where there is none.</summary>
    private static double? Sealed(
        Session session, Dictionary<(long Vessel, long Day), Dictionary<(DateTimeOffset, Signal), double>?> blocks, in Row row)
    {
        (long, long) key = (row.Vessel, Slots.DayOfSlot(row.Slot));
        if (!blocks.TryGetValue(key, out Dictionary<(DateTimeOffset, Signal), double>? held))
        {
            held = BlockTable.Find(session, row.Vessel, Slots.DayOfSlot(row.Slot)) is { } block
                ? block.ToDictionary(reading => (reading.Instant, reading.Signal), reading => reading.Value)
                : null;
            blocks.Add(key, held);
        }

        Reading reading = Slots.Reading(row.Slot, row.Within, row.Value);
        return held is not null && held.TryGetValue((reading.Instant, reading.Signal), out double value) ? value : null;
    }

    /// <summary>One row on its way in; <c>Order</c> makes the first of two readings with one key win.</summary>
    private readonly record struct Row(long Slot, long Vessel, long Within, int Order, double Value) : IComparable<Row>
    {
        public int CompareTo(Row other)
        {
            int order = Slot.CompareTo(other.Slot);
            order = order != 0 ? order : Vessel.CompareTo(other.Vessel);
            order = order != 0 ? order : Within.CompareTo(other.Within);
            return order != 0 ? order : Order.CompareTo(other.Order);
        }
    }
}
