using DriftWatch.Plant.Alarms;
using DriftWatch.Storage.Tables;

namespace DriftWatch.Storage;

/// <summary>Alarms, and their notices on the way out.</summary>
public sealed partial class PlantStore
{
    /// <summary>The book made last, and what it was made of: most looks find nothing new.</summary>
    private volatile KnownAlarms? _alarms;

    /// <summary>The alarms of all vessels at a moment, and their journal up to it.</summary>
    public AlarmBook Alarms(DateTimeOffset asOf) => _database.Read(session =>
    {
        (long, long, long) version = AlarmTable.Version(session);
        if (_alarms is not { } known || known.Version != version || !known.Book.HoldsAt(asOf))
        {
            known = new KnownAlarms(version, AlarmTable.Book(session, asOf));
            _alarms = known;
        }

        return known.Book.As(asOf);
    });

    /// <summary>The alarms of one vessel at a moment, and their journal up to it.</summary>
    public AlarmBook Alarms(DateTimeOffset asOf, string vesselId) => _database.Read(session => AlarmTable.Book(session, asOf, vesselId));

    /// <summary>
    /// Puts into the outbox what is new of the alarms at a moment, and notes with it that it was told; gives how many notices
    /// that were.
    /// </summary>
    /// <param name="asOf">The moment, UTC.</param>
    /// <param name="placeOf">Where a vessel is, by its id.</param>
    public int TellAlarms(DateTimeOffset asOf, Func<string, string> placeOf)
    {
        // Most looks find nothing: they take no write lock.
        if (_options.AlarmChannels.Count == 0 || _database.Read(session => Outstanding(session).Count) == 0)
        {
            return 0;
        }

        return _database.Write(session =>
        {
            IReadOnlyList<AlarmNotice> notices = Outstanding(session);
            foreach (AlarmNotice notice in notices)
            {
                AlarmNoticeTable.Put(session, notice);
                OutboxTable.Add(session, notice, _options.AlarmChannels);
            }

            return notices.Count;
        });

        IReadOnlyList<AlarmNotice> Outstanding(Sqlite.Session session) =>
            AlarmTelling.Outstanding(AlarmNoticeTable.Told(session), AlarmTable.Book(session, asOf), placeOf);
    }

    /// <summary>Tells whether the alarms can have changed since another look, but for shelves that end by the clock; costs little.</summary>
    public (long NewestChange, long NewestAction, long Changes) AlarmVersion() => _database.Read(AlarmTable.Version);

    private sealed record KnownAlarms((long, long, long) Version, AlarmBook Book);
}
