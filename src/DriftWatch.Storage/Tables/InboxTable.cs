using DriftWatch.Plant.History;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>
/// Which vessels have readings that wait to be taken in: one row a vessel, changed in place, so that a commit touches few
/// pages however much waits. A row joins commits; what each of them brought is remembered besides, so that a step which
/// covers the first of them leaves exactly the others. Where it is not remembered (the program was started again, another
/// process wrote) the row stays as it is: the vessel is then taken in again from its earliest reading, to the same answer.
/// The rows also count the readings until they are taken in. Members that write are called under the write lock.
/// </summary>
internal sealed class InboxTable
{
    /// <summary>Commits remembered of a vessel; beyond it the oldest are joined.</summary>
    private const int MostRemembered = 64;

    private readonly Dictionary<long, List<Arrival>> _remembered = [];

    /// <summary>All commits after this one, up to the newest known, are remembered; none while it is null.</summary>
    private long? _rememberedAfter;

    private long _newest;

    /// <summary>Enters what one commit brought.</summary>
    public void AddNeedsLock(Session session, IReadOnlyDictionary<long, Arrival> arrivals)
    {
        long sequence = MarkTable.NextCommit(session);
        if (_rememberedAfter is null || _newest != sequence - 1)
        {
            _remembered.Clear();
            _rememberedAfter = sequence - 1;
        }

        _newest = sequence;
        foreach ((long vessel, Arrival arrival) in arrivals)
        {
            _ = session
                .Prepare(
                    """
                    INSERT INTO waiting (vessel, sequence, earliest, latest, readings) VALUES (?1, ?2, ?3, ?4, ?5)
                    ON CONFLICT (vessel) DO UPDATE SET sequence = excluded.sequence, earliest = min(earliest, excluded.earliest),
                        latest = max(latest, excluded.latest), readings = readings + excluded.readings
                    """)
                .Bind(1, vessel)
                .Bind(2, sequence)
                .Bind(3, arrival.EarliestTicks)
                .Bind(4, arrival.LatestTicks)
                .Bind(5, (long)arrival.Readings)
                .Run();
            Remember(vessel, arrival with { Sequence = sequence });
        }
    }

    /// <summary>Takes out what commits up to a sequence brought of a vessel.</summary>
    public void RemoveUpToNeedsLock(Session session, long vessel, long sequence)
    {
        Statement row = session.Prepare("SELECT sequence, readings, earliest, latest FROM waiting WHERE vessel = ?1").Bind(1, vessel);
        if (!row.Row())
        {
            return;
        }

        (long newest, long readings, long earliest, long latest) = (row.Long(0), row.Long(1), row.Long(2), row.Long(3));
        _ = row.Reset();
        if (newest <= sequence)
        {
            _ = session.Prepare("DELETE FROM waiting WHERE vessel = ?1").Bind(1, vessel).Run();
            VesselTable.AddReadings(session, vessel, readings, earliest, latest);
            _ = _remembered.Remove(vessel);
            return;
        }

        if (LaterThan(session, vessel, sequence) is not { Count: > 0 } later)
        {
            return;
        }

        long left = later.Sum(arrival => (long)arrival.Readings);
        _ = session
            .Prepare("UPDATE waiting SET earliest = ?2, readings = ?3 WHERE vessel = ?1")
            .Bind(1, vessel)
            .Bind(2, later.Min(arrival => arrival.EarliestTicks))
            .Bind(3, left)
            .Run();
        VesselTable.AddReadings(session, vessel, readings - left, earliest, latest);
        _remembered[vessel] = later;
    }

    /// <summary>Forgets what is remembered: a write was rolled back.</summary>
    public void ForgetNeedsLock() => _rememberedAfter = null;

    /// <summary>All vessels that wait, those that have received nothing for longest first.</summary>
    public static IReadOnlyList<VesselInbox> Waiting(Session session)
    {
        Statement row = session.Prepare(
            "SELECT name, sequence, waiting.earliest FROM waiting JOIN vessel ON vessel.id = waiting.vessel ORDER BY sequence, vessel");
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
            .Prepare($"SELECT sequence, earliest FROM waiting WHERE vessel = {VesselTable.NumberOf}")
            .Bind(1, vesselId);
        VesselInbox? waiting = row.Row() ? new VesselInbox(vesselId, row.Long(0), Instants.FromTicks(row.Long(1))) : null;
        _ = row.Reset();
        return waiting;
    }

    private void Remember(long vessel, Arrival arrival)
    {
        if (!_remembered.TryGetValue(vessel, out List<Arrival>? arrivals))
        {
            _remembered.Add(vessel, arrivals = []);
        }

        arrivals.Add(arrival);
        if (arrivals.Count > MostRemembered)
        {
            // As one of the later sequence: a step that covers only the first leaves both, and both are taken in again.
            arrivals[1] = arrivals[0].JoinedWith(arrivals[1]);
            arrivals.RemoveAt(0);
        }
    }

    /// <summary>The commits after a sequence that brought something of a vessel; null where not all of them are remembered.</summary>
    private List<Arrival>? LaterThan(Session session, long vessel, long sequence) =>
        sequence >= _rememberedAfter && MarkTable.Get(session, MarkTable.Commit) == _newest && _remembered.TryGetValue(vessel, out List<Arrival>? arrivals)
            ? [.. arrivals.Where(arrival => arrival.Sequence > sequence)]
            : null;
}
