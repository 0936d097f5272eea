using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage;

/// <summary>
/// The embedded store and system of record, one database file. All members may be called from several threads; writes
/// queue up, reads see one state each and wait for no write. When a writing member returns, what it wrote survives a
/// crash or a loss of power; when it throws <see cref="StoreUnavailableException"/>, nothing has changed.
/// </summary>
public sealed partial class PlantStore : IReadingSink, IVesselHistory, IOutbox, IDisposable
{
    private readonly StoreOptions _options;
    private readonly Database _database;
    private readonly VesselTable _vessels = new();

    /// <summary>Opens the store, makes it when there is none, and brings an older schema up to date.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    /// <exception cref="StoreUnavailableException">The file cannot be opened, or a newer version has written it.</exception>
    public PlantStore(StoreOptions options)
    {
        IReadOnlyList<string> faults = options.Faults();
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(options));
        }

        _options = options;
        _database = new Database(options.Path, options.LockTimeout);
        _database.RolledBack += _vessels.ForgetNeedsLock;
    }

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">A value is not finite; nothing is committed.</exception>
    public void Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined)
    {
        foreach (VesselReading reading in readings)
        {
            if (!double.IsFinite(reading.Reading.Value))
            {
                throw new ArgumentException(
                    $"Reading of vessel '{reading.VesselId}', {reading.Reading.Signal} at {reading.Reading.Instant:O} is {reading.Reading.Value}: only finite values are stored; set the message aside instead.",
                    nameof(readings));
            }
        }

        if (readings.Count == 0 && quarantined.Count == 0)
        {
            return;
        }

        _database.Write(session =>
        {
            ReadingTable.Insert(session, _vessels, readings);
            QuarantineTable.Insert(session, quarantined, _options);
        });
    }

    /// <inheritdoc/>
    public IReadOnlyList<VesselInbox> Waiting() => _database.Read(InboxTable.Waiting);

    /// <inheritdoc/>
    public VesselCheckpoint? CheckpointBefore(string vesselId, DateTimeOffset instant) =>
        _database.Read(session => CheckpointTable.NewestBefore(session, vesselId, instant));

    /// <inheritdoc/>
    public IEnumerable<Reading> ReadingsAfter(string vesselId, DateTimeOffset instant)
    {
        using IVesselView view = View(vesselId);
        foreach (Reading reading in view.ReadingsAfter(instant))
        {
            yield return reading;
        }
    }

    /// <inheritdoc/>
    public IVesselView View(string vesselId) => new VesselView(_database, vesselId);

    /// <inheritdoc/>
    public IReadOnlyList<PrechargeWindow> Windows(string vesselId) => _database.Read(session => WindowTable.All(session, vesselId));

    /// <inheritdoc/>
    public Assessment? LastAssessment(string vesselId) => _database.Read(session => AssessmentTable.Last(session, vesselId));

    /// <inheritdoc/>
    public IReadOnlyList<JobNotice> LastNotices(string vesselId) => _database.Read(session => JobTable.LastNotices(session, vesselId));

    /// <inheritdoc/>
    public void Save(VesselStep step) => _database.Write(session =>
    {
        long vessel = _vessels.NumberNeedsLock(session, step.VesselId);
        if (step.Rewind is { } rewind)
        {
            WindowTable.RemoveAfter(session, vessel, rewind.WindowsAfter);
            CheckpointTable.RemoveAfter(session, vessel, rewind.CheckpointsAfter);
            AlarmTable.RemoveAfter(session, vessel, rewind.CheckpointsAfter);
        }

        foreach (PrechargeWindow window in step.Windows)
        {
            WindowTable.Put(session, vessel, window);
        }

        AssessmentTable.Put(session, vessel, step.Assessment);
        CheckpointTable.Put(session, vessel, step.Checkpoint);
        foreach (JobNotice notice in step.Notices)
        {
            if (JobTable.Apply(session, vessel, notice))
            {
                OutboxTable.Add(session, notice, _options.Channels);
            }
        }

        foreach (AlarmChange change in step.AlarmChanges)
        {
            AlarmTable.Add(session, vessel, change);
        }

        InboxTable.RemoveUpTo(session, vessel, step.InboxSequence);
    });

    /// <inheritdoc/>
    public IReadOnlyList<OutboxEntry> Pending(string channel, int limit) =>
        _database.Read(session => OutboxTable.Pending(session, channel, limit));

    /// <inheritdoc/>
    public void MarkDelivered(string channel, long sequence) =>
        _database.Write(session => OutboxTable.MarkDelivered(session, channel, sequence));

    /// <inheritdoc/>
    public void MarkFailed(string channel, long sequence, string error) =>
        _database.Write(session => OutboxTable.MarkFailed(session, channel, sequence, error));

    /// <summary>The last assessment of every vessel that has one, by vessel id.</summary>
    public IReadOnlyDictionary<string, Assessment> LastAssessments() => _database.Read(AssessmentTable.All);

    /// <summary>All jobs, open and closed, in the order in which they were raised.</summary>
    public IReadOnlyList<StoredJob> Jobs() => _database.Read(JobTable.All);

    /// <summary>The alarms of all vessels at a moment, and their journal up to it.</summary>
    public AlarmBook Alarms(DateTimeOffset asOf) => _database.Read(session => AlarmTable.Book(session, asOf));

    /// <summary>Records what someone did to an alarm.</summary>
    /// <returns>Why it has no place now, and is not recorded; null when it is.</returns>
    public string? Record(AlarmAction action) => _database.Write(session =>
    {
        string? objection = AlarmTable.Book(session, action.At).Objection(action);
        if (objection is null)
        {
            AlarmTable.Add(session, action);
        }

        return objection;
    });

    /// <summary>Messages set aside, by source in order of its name.</summary>
    public IReadOnlyList<QuarantineSource> Quarantine() => _database.Read(QuarantineTable.Sources);

    /// <summary>How many readings are held, by vessel in order of its id.</summary>
    public IReadOnlyList<VesselReadingCount> ReadingCounts() => _database.Read(VesselTable.ReadingCounts);

    /// <summary>Closes the file; what is still being read is read to its end first by whoever reads it.</summary>
    public void Dispose() => _database.Dispose();
}
