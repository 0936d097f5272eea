using DriftWatch.Plant.History;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>A reading connection held at one state of the database; the first query, for the inbox, fixes which.</summary>
internal sealed class VesselView : IVesselView
{
    private readonly Database _database;
    private readonly string _vesselId;
    private Session? _session;

    public VesselView(Database database, string vesselId)
    {
        _database = database;
        _vesselId = vesselId;
        Session session = database.RentReader();
        try
        {
            Inbox = database.Translated(() => InboxTable.Waiting(session, vesselId));
            HeldFrom = database.Translated(() => VesselTable.HeldFrom(session, vesselId));
            _session = session;
        }
        catch
        {
            database.ReturnReader(session);
            throw;
        }
    }

    /// <inheritdoc/>
    public VesselInbox? Inbox { get; }

    /// <inheritdoc/>
    public DateTimeOffset HeldFrom { get; }

    /// <inheritdoc/>
    public IEnumerable<Reading> ReadingsAfter(DateTimeOffset instant)
    {
        ObjectDisposedException.ThrowIf(_session is null, this);
        return Stream(_session, instant);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (_session is { } session)
        {
            _session = null;
            _database.ReturnReader(session);
        }
    }

    private IEnumerable<Reading> Stream(Session session, DateTimeOffset instant)
    {
        using IEnumerator<Reading> readings = HeldReadings.After(session, _vesselId, instant).GetEnumerator();
        while (_database.Translated(readings.MoveNext))
        {
            yield return readings.Current;
        }
    }
}
