using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Records;
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
public sealed partial class PlantStore : IReadingSink, IVesselHistory, IReadingHistory, IOutbox, IAnswerBook, IDisposable
{
    private readonly StoreOptions _options;
    private readonly Database _database;
    private readonly VesselTable _vessels = new();
    private readonly InboxTable _inbox = new();
    private long _windowsAccepted;

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
        _database.RolledBack += _inbox.ForgetNeedsLock;
    }

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">A value is not finite; nothing is committed.</exception>
    public CommittedReadings Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined) =>
        Commit(readings, quarantined, []);

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">A value is not finite; nothing is committed.</exception>
    public CommittedReadings Commit(
        IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
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

        if (readings.Count == 0 && quarantined.Count == 0 && memories.Count == 0)
        {
            return default;
        }

        return _database.Write(session =>
        {
            (IReadOnlyList<VesselReading> entered, CommittedReadings counts, IReadOnlyList<QuarantinedMessage> notTaken) = ReadingIntake.Insert(session, _vessels, _inbox, readings, _options.Spool);
            if (entered.Count > 0)
            {
                SpoolTable.Add(session, entered);
                SpoolTable.Bound(session, _options.MostSpooledPoints);
            }

            QuarantineTable.Insert(session, [.. quarantined, .. notTaken], _options);
            SourceMemoryTable.Put(session, memories);
            return counts;
        });
    }

    /// <inheritdoc/>
    public IReadOnlyList<SourceMemory> Memories() => _database.Read(SourceMemoryTable.All);

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

    /// <summary>Accepted windows saved since the store was opened, those found anew included. From any thread.</summary>
    public long WindowsAccepted => Interlocked.Read(ref _windowsAccepted);

    /// <inheritdoc/>
    public void Save(VesselStep step)
    {
        Write(step);
        Interlocked.Add(ref _windowsAccepted, step.Windows.Count(window => window.Standing == WindowStanding.Accepted));
    }

    private void Write(VesselStep step) => _database.Write(session =>
    {
        long vessel = _vessels.NumberNeedsLock(session, step.VesselId);
        if (step.Rewind is { } rewind)
        {
            // Windows that rest on raw readings past their retention could not be found again: they stay.
            long heldFrom = VesselTable.HeldFrom(session, step.VesselId).UtcTicks;
            DateTimeOffset windowsAfter = Instants.FromTicks(Math.Max(rewind.WindowsAfter.UtcTicks, Math.Max(0, heldFrom - 1)));
            if (_options.Spool)
            {
                SpoolWithdrawn(session, step, windowsAfter);
            }

            WindowTable.RemoveAfter(session, vessel, windowsAfter);
            CheckpointTable.RemoveAfter(session, vessel, rewind.CheckpointsAfter);
            AlarmTable.RemoveAfter(session, vessel, rewind.CheckpointsAfter);
        }

        if (step.Windows.Count > 0 || step.Rewind is not null)
        {
            VesselTable.CountWindowChange(session, vessel);
        }

        foreach (PrechargeWindow window in step.Windows)
        {
            WindowTable.Put(session, vessel, window);
            if (_options.Spool)
            {
                SpoolTable.Add(session, step.VesselId, window, withdrawn: false);
            }
        }

        if (step.Basis is { } basis)
        {
            BasisTable.Put(session, vessel, basis);
        }

        AssessmentTable.Put(session, vessel, step.Assessment);
        CheckpointTable.Put(session, vessel, step.Checkpoint);
        JobNotice[] news = [.. step.Notices.Where(notice => JobTable.Apply(session, vessel, notice))];
        foreach (JobNotice notice in _options.TellsPast || news.Length == 0 ? news : ToTell(session, news))
        {
            OutboxTable.Add(session, notice, _options.Channels);
        }

        foreach (AlarmChange change in step.AlarmChanges)
        {
            AlarmTable.Add(session, vessel, change);
        }

        _inbox.RemoveUpToNeedsLock(session, vessel, step.InboxSequence);
    });

    /// <summary>Of jobs from before a copy was put back it is not known what the queues have heard since the copy was made: of these they are told all.</summary>
    private static IEnumerable<JobNotice> ToTell(Session session, JobNotice[] news)
    {
        DateTimeOffset putBack = Instants.FromTicks(MarkTable.Get(session, MarkTable.PutBack));
        return
        [
            .. news.Where(notice => notice.Job.Raised < putBack),
            .. LastWords.Of([.. news.Where(notice => notice.Job.Raised >= putBack)], job => OutboxTable.HasTold(session, job)),
        ];
    }

    /// <inheritdoc/>
    public IReadOnlyList<OutboxEntry> Pending(string channel, int limit, IReadOnlyCollection<string>? exceptVessels = null) =>
        _database.Read(session => OutboxTable.Pending(session, channel, limit, exceptVessels ?? []));

    /// <inheritdoc/>
    public void MarkDelivered(string channel, long sequence) =>
        _database.Write(session => OutboxTable.MarkDelivered(session, channel, sequence));

    /// <inheritdoc/>
    public void MarkFailed(string channel, long sequence, string error) =>
        _database.Write(session => OutboxTable.MarkFailed(session, channel, sequence, error));

    /// <inheritdoc/>
    public void CountRefusal(string channel, long sequence) =>
        _database.Write(session => OutboxTable.CountRefusal(session, channel, sequence));

    /// <inheritdoc/>
    public void SetAside(string channel, long sequence, DateTimeOffset at) =>
        _database.Write(session => OutboxTable.SetAside(session, channel, sequence, at));

    /// <summary>Notices that channels would not take, by channel in order of entry.</summary>
    public IReadOnlyList<DeadLetter> DeadLetters() => _database.Read(OutboxTable.DeadLetters);

    /// <summary>How many notices wait for each channel, by its name; channels for which none waits are left out.</summary>
    public IReadOnlyList<WaitingNotices> WaitingNotices() => _database.Read(OutboxTable.Waiting);

    /// <summary>
    /// Lets go of the notices that wait for channels other than those named, which nobody will take any more. Dead letters stay.
    /// </summary>
    /// <param name="channels">The channels that there are.</param>
    /// <returns>What was let go of, by channel in order of its name.</returns>
    public IReadOnlyList<WaitingNotices> LetGoOfNoticesForOthers(IReadOnlyCollection<string> channels) =>
        _database.Write(session => OutboxTable.LetGoOfOthers(session, channels));

    /// <summary>
    /// Puts a dead letter back into the outbox, and with it all later notices of its vessel on that channel, so that the
    /// newest has the last word there. They keep their keys.
    /// </summary>
    /// <returns>How many notices wait by that; 0 when there is no such dead letter.</returns>
    public int Resend(string channel, long sequence) => _database.Write(session => OutboxTable.Resend(session, channel, sequence));

    /// <inheritdoc/>
    public AnswerOutcome Record(JobAnswer answer, string via, string authority, DateTimeOffset received)
    {
        WorkRecord? work = answer.ToWork(authority, received);
        Refuse(work?.Faults() ?? [], nameof(answer));
        return _database.Write(session =>
        {
            AnswerOutcome outcome = AnswerTable.Record(session, answer, via, authority, received);
            if (work is not null && outcome is AnswerOutcome.Recorded or AnswerOutcome.Repeated)
            {
                _ = WorkTable.Record(session, work!);
            }

            return outcome;
        });
    }

    /// <inheritdoc/>
    public void SetAside(QuarantinedMessage message) => Commit([], [message]);

    /// <inheritdoc/>
    public IReadOnlyList<RecordedAnswer> AnswersAfter(long sequence, int limit) =>
        _database.Read(session => AnswerTable.After(session, sequence, limit));

    /// <summary>The last assessment of every vessel that has one, by vessel id.</summary>
    public IReadOnlyDictionary<string, Assessment> LastAssessments() => _database.Read(AssessmentTable.All);

    /// <summary>All jobs, open and closed, in the order in which they were raised.</summary>
    public IReadOnlyList<StoredJob> Jobs() => _database.Read(JobTable.All);

    /// <summary>Records what someone did to an alarm.</summary>
    /// <returns>Why it has no place now, and is not recorded; null when it is.</returns>
    public string? Record(AlarmAction action) => _database.Write(session =>
    {
        string? objection = AlarmTable.Book(session, action.At, action.VesselId).Objection(action);
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

    /// <inheritdoc/>
    public Task<ReadingExcerpt> FirstAsync(string vesselId, DateTimeOffset from, DateTimeOffset to, int limit, CancellationToken stop) =>
        Task.FromResult(new ReadingExcerpt(Readings(vesselId, from, to, limit)));

    /// <summary>How many readings and windows wait in the spool for an outside history.</summary>
    public long SpooledPoints() => _database.Read(SpoolTable.Points);

    /// <summary>How many of them were given up since the store was made, as too many waited.</summary>
    public long SpooledPointsGivenUp() => _database.Read(session => MarkTable.Get(session, MarkTable.SpoolGivenUp));

    /// <summary>The oldest of what is spooled.</summary>
    internal SpoolBatch Spooled(int points) => _database.Read(session => SpoolTable.Oldest(session, points));

    /// <summary>Takes out of the spool what the history has.</summary>
    internal void RemoveSpooled(long sequence) => _database.Write(session => SpoolTable.RemoveUpTo(session, sequence));

    /// <summary>The hourly roll-ups kept of a vessel, in order of hour and signal.</summary>
    public IReadOnlyList<HourlyRollUp> RollUps(string vesselId) => _database.Read(session => RollUpTable.All(session, vesselId));

    /// <summary>
    /// Packs the days that are over and lets go of what is past its retention, in many short transactions, so that
    /// commits go on meanwhile. What is cut off is done at the next call. One caller at a time.
    /// </summary>
    /// <param name="now">
    /// The time of day at the plant, UTC. For what is let go it counts up to a week beyond the readings held, the two newest days of
    /// them left out, so that a clock that is wrong for some hours does no harm.
    /// </param>
    /// <param name="stop">Ends it between two transactions.</param>
    public void Tend(DateTimeOffset now, CancellationToken stop) => new StoreTending(_database, _options).Run(now, stop);

    /// <summary>Writes a number that means nothing, to find out whether the store can be written to.</summary>
    /// <exception cref="StoreUnavailableException">It cannot; the message says why and how to mend it.</exception>
    public void Probe() => _database.Write(MarkTable.Probe);

    private static void SpoolWithdrawn(Session session, VesselStep step, DateTimeOffset windowsAfter)
    {
        HashSet<DateTimeOffset> again = [.. step.Windows.Select(window => window.Start)];
        foreach (PrechargeWindow window in WindowTable.All(session, step.VesselId).Where(window => window.Start > windowsAfter && !again.Contains(window.Start)))
        {
            SpoolTable.Add(session, step.VesselId, window, withdrawn: true);
        }
    }

    /// <summary>Closes the file; what is still being read is read to its end first by whoever reads it.</summary>
    public void Dispose() => _database.Dispose();
}
