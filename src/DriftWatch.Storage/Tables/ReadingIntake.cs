using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>Takes committed readings in: the new ones enter, those already held change nothing.</summary>
internal static class ReadingIntake
{
    /// <summary>Inserts the readings that are new, and says which vessels have some waiting.</summary>
    /// <returns>The readings that entered, where they are wanted, and those of days past their retention, to be set aside.</returns>
    public static (IReadOnlyList<VesselReading> Entered, IReadOnlyList<QuarantinedMessage> TooOld) Insert(
        Session session, VesselTable vessels, InboxTable inbox, IReadOnlyCollection<VesselReading> readings, bool wanted)
    {
        if (readings.Count == 0)
        {
            return ([], []);
        }

        List<QuarantinedMessage> tooOld = [];
        Row[] rows = InKeyOrder(session, vessels, readings, tooOld);
        long lastSealed = MarkTable.Get(session, MarkTable.Sealed);
        Dictionary<(long Vessel, long Day), HashSet<(DateTimeOffset, Signal)>?> blocks = [];
        VesselReading[] given = wanted ? [.. readings] : [];
        List<VesselReading> enteredReadings = [];
        SortedDictionary<long, Arrival> entered = [];
        Statement insert = session.Prepare("INSERT INTO recent (slot, vessel, within, value) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING");
        foreach (ref readonly Row row in rows.AsSpan())
        {
            if (Slots.DayOfSlot(row.Slot) <= lastSealed && Sealed(session, blocks, row))
            {
                continue;
            }

            if (insert.Bind(1, row.Slot).Bind(2, row.Vessel).Bind(3, row.Within).Bind(4, row.Value).Run() == 1)
            {
                if (wanted)
                {
                    enteredReadings.Add(given[row.Order]);
                }

                long ticks = Slots.Reading(row.Slot, row.Within, 0).Instant.UtcTicks;
                Arrival one = new(0, ticks, ticks, 1);
                entered[row.Vessel] = entered.TryGetValue(row.Vessel, out Arrival others) ? others.JoinedWith(one) : one;
            }
        }

        if (entered.Count > 0)
        {
            inbox.AddNeedsLock(session, entered);
        }

        return (enteredReadings, tooOld);
    }

    private static Row[] InKeyOrder(
        Session session, VesselTable vessels, IReadOnlyCollection<VesselReading> readings, List<QuarantinedMessage> tooOld)
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
                tooOld.Add(TooOld(vesselId, reading));
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
        Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{reading.Instant.UtcDateTime:O};{reading.Signal};{reading.Value:R}")));

    private static bool Sealed(Session session, Dictionary<(long Vessel, long Day), HashSet<(DateTimeOffset, Signal)>?> blocks, in Row row)
    {
        (long, long) key = (row.Vessel, Slots.DayOfSlot(row.Slot));
        if (!blocks.TryGetValue(key, out HashSet<(DateTimeOffset, Signal)>? held))
        {
            held = BlockTable.Find(session, row.Vessel, Slots.DayOfSlot(row.Slot)) is { } block
                ? [.. block.Select(reading => (reading.Instant, reading.Signal))]
                : null;
            blocks.Add(key, held);
        }

        Reading reading = Slots.Reading(row.Slot, row.Within, row.Value);
        return held is not null && held.Contains((reading.Instant, reading.Signal));
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
