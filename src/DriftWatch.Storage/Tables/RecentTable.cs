using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>Readings of the days that go on, a row each.</summary>
internal static class RecentTable
{
    /// <summary>Readings of a vessel with an instant after the one given, in order.</summary>
    public static IEnumerable<Reading> After(Session session, long vessel, long ticks)
    {
        List<Reading> readings = [];
        long first = Slots.SlotOf(ticks);
        for (long? slot = NextSlot(session, first); slot is { } present; slot = NextSlot(session, present + 1))
        {
            // With all signal bits set, the key is behind every reading of the instant itself.
            long after = present == first ? Slots.WithinOf(ticks, (Signal)7) : -1;
            Statement row = session
                .Prepare("SELECT within, value FROM recent WHERE slot = ?1 AND vessel = ?2 AND within > ?3 ORDER BY within")
                .Bind(1, present)
                .Bind(2, vessel)
                .Bind(3, after);
            readings.Clear();
            while (row.Row())
            {
                readings.Add(Slots.Reading(present, row.Long(0), row.Double(1)));
            }

            foreach (Reading reading in readings)
            {
                yield return reading;
            }
        }
    }

    /// <summary>The first slot from one on that holds readings of any vessel; null when none does.</summary>
    public static long? NextSlot(Session session, long from) =>
        session.Prepare("SELECT min(slot) FROM recent WHERE slot >= ?1").Bind(1, from).First();

    /// <summary>The newest days that hold readings of any vessel, the newest first.</summary>
    public static IReadOnlyList<long> NewestDays(Session session, int most)
    {
        List<long> days = [];
        for (long? slot = LastSlot(session, long.MaxValue); slot is { } present && days.Count < most; slot = LastSlot(session, Slots.FirstSlotOf(days[^1])))
        {
            days.Add(Slots.DayOfSlot(present));
        }

        return days;
    }

    /// <summary>Takes the readings of some neighbouring vessels and one day out; by vessel, in order.</summary>
    public static SortedDictionary<long, List<Reading>> Take(Session session, long firstVessel, long lastVessel, long day)
    {
        SortedDictionary<long, List<Reading>> taken = [];
        long end = Slots.FirstSlotOf(day + 1);
        for (long? slot = NextSlot(session, Slots.FirstSlotOf(day)); slot is { } present && present < end; slot = NextSlot(session, present + 1))
        {
            Statement row = session
                .Prepare("SELECT vessel, within, value FROM recent WHERE slot = ?1 AND vessel BETWEEN ?2 AND ?3 ORDER BY vessel, within")
                .Bind(1, present)
                .Bind(2, firstVessel)
                .Bind(3, lastVessel);
            while (row.Row())
            {
                if (!taken.TryGetValue(row.Long(0), out List<Reading>? readings))
                {
                    taken.Add(row.Long(0), readings = []);
                }

                readings.Add(Slots.Reading(present, row.Long(1), row.Double(2)));
            }

            _ = session
                .Prepare("DELETE FROM recent WHERE slot = ?1 AND vessel BETWEEN ?2 AND ?3")
                .Bind(1, present)
                .Bind(2, firstVessel)
                .Bind(3, lastVessel)
                .Run();
        }

        return taken;
    }

    /// <summary>The last slot before one that holds readings of any vessel; null when none does.</summary>
    private static long? LastSlot(Session session, long before) =>
        session.Prepare("SELECT max(slot) FROM recent WHERE slot < ?1").Bind(1, before).First();
}
