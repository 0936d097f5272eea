using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>Packs days that are over into blocks, rolls up raw readings past their retention, drops roll-ups past theirs.</summary>
internal sealed class StoreTending(Database database, StoreOptions options)
{
    /// <summary>
    /// Neighbouring vessels packed in one transaction: they share the pages of a slot, so packing them one by one would
    /// write each page again and again; many at once would hold back commits.
    /// </summary>
    private const int VesselsTogether = 16;

    private const int DaysTogether = 32;

    /// <summary>Days whose readings do not say what time it is: a clock that is wrong for a night may have dated them.</summary>
    private const int DoubtedDays = 2;

    /// <summary>How far beyond the days that hold readings the clock is believed, for what cannot be taken back.</summary>
    private const int BelievedDays = 7;

    public void Run(DateTimeOffset now, CancellationToken stop)
    {
        Pack(DayBefore(now, options.PackAfter), stop);
        if (options.RawRetention is null && options.RollUpRetention is null)
        {
            return;
        }

        DateTimeOffset believed = Believed(now);
        if (options.RawRetention is { } raw)
        {
            RollUp(DayBefore(believed, raw), stop);
        }

        if (options.RollUpRetention is { } rollUp)
        {
            DropRollUps(DayBefore(believed, rollUp), stop);
        }
    }

    /// <summary>
    /// The time of day, as far as the readings bear it out. A clock that is a year ahead for an hour would else let go of a year of
    /// raw readings, and have those that come afterwards refused as too late.
    /// </summary>
    private DateTimeOffset Believed(DateTimeOffset now)
    {
        SortedSet<long> days = [.. database.Read(session => RecentTable.NewestDays(session, DoubtedDays + 1))];
        long highest = database.Read(VesselTable.Highest);
        for (long vessel = 1; vessel <= highest; vessel++)
        {
            days.UnionWith(database.Read(session => BlockTable.NewestDays(session, vessel, DoubtedDays + 1)));
        }

        long ticks = days.Reverse().Skip(DoubtedDays).Select(day => (day + 1 + BelievedDays) * TimeSpan.TicksPerDay).FirstOrDefault();
        return ticks < now.UtcTicks ? Instants.FromTicks(ticks) : now;
    }

    /// <summary>The last day that ended so long ago.</summary>
    private static long DayBefore(DateTimeOffset now, TimeSpan age) => Slots.DayOf(now.UtcTicks - Math.Min(age.Ticks, now.UtcTicks)) - 1;

    private void Pack(long lastDay, CancellationToken stop)
    {
        long highest = database.Read(VesselTable.Highest);
        for (long from = 0; NextDay(from) is { } day && day <= lastDay; from = day + 1)
        {
            for (long first = 1; first <= highest; first += VesselsTogether)
            {
                stop.ThrowIfCancellationRequested();
                database.Write(session => Pack(session, first, first + VesselsTogether - 1, day));
            }
        }
    }

    private long? NextDay(long from) => database.Read(session => RecentTable.NextSlot(session, Slots.FirstSlotOf(from))) is { } slot
        ? Slots.DayOfSlot(slot)
        : null;

    private static void Pack(Session session, long firstVessel, long lastVessel, long day)
    {
        foreach ((long vessel, List<Reading> readings) in RecentTable.Take(session, firstVessel, lastVessel, day))
        {
            // Late ones join those of the block; none is in both.
            Reading[] all = [.. BlockTable.Find(session, vessel, day) ?? [], .. readings];
            Array.Sort(all);
            BlockTable.Put(session, vessel, day, all);
        }

        MarkTable.Raise(session, MarkTable.Sealed, day);
    }

    private void RollUp(long lastDay, CancellationToken stop)
    {
        // First of all: from now on readings of these days are set aside. Where a wrong clock, or a shorter retention, has set
        // later ones aside, they are taken in again, but for those beside days that are gone.
        database.Write(session => MarkTable.Set(session, MarkTable.Expired, Math.Max(lastDay, VesselTable.NewestRolledUp(session) + 1)));
        long highest = database.Read(VesselTable.Highest);
        for (long vessel = 1; vessel <= highest; vessel++)
        {
            // Late readings of the days after are still taken in, from the last state before them on: what came after that
            // state is held for them. Where nothing was assessed yet, nothing goes.
            long limit = (lastDay + 1) * TimeSpan.TicksPerDay;
            long last = database.Read(session => CheckpointTable.NewestBefore(session, vessel, limit)) is { } state ? Slots.DayOf(state) - 1 : -1;
            while (database.Read(session => BlockTable.DaysUpTo(session, vessel, last, DaysTogether)) is { Count: > 0 } days)
            {
                stop.ThrowIfCancellationRequested();
                database.Write(session => RollUp(session, vessel, days));
            }
        }
    }

    private static void RollUp(Session session, long vessel, IReadOnlyList<long> days)
    {
        long readings = 0;
        foreach (long day in days)
        {
            if (BlockTable.Find(session, vessel, day) is { } block)
            {
                RollUpTable.Put(session, vessel, day, RollUpBlock.Of(block));
                BlockTable.Remove(session, vessel, day);
                readings += block.Length;
            }
        }

        VesselTable.RollUpTo(session, vessel, days[^1]);
        VesselTable.RemoveReadings(session, vessel, readings, HeldReadings.After(session, vessel, DateTimeOffset.MinValue)
            .Select(reading => (long?)reading.Instant.UtcTicks).FirstOrDefault());
    }

    private void DropRollUps(long lastDay, CancellationToken stop)
    {
        long highest = database.Read(VesselTable.Highest);
        for (long vessel = 1; vessel <= highest; vessel++)
        {
            stop.ThrowIfCancellationRequested();
            if (database.Read(session => RollUpTable.HasUpTo(session, vessel, lastDay)))
            {
                database.Write(session => RollUpTable.RemoveUpTo(session, vessel, lastDay));
            }
        }
    }
}
