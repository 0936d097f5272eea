using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Assessing;

/// <summary>
/// Sees to vessels that have left the register, retired or under another id: nobody assesses them any more and no page shows
/// them, so what stands for them could never end. Their jobs are withdrawn, their alarms suppressed by design. One that comes back is
/// made anew from its readings, and what stood for it stands again. For the thread that assesses.
/// </summary>
internal sealed class RetiredVessels(PlantStore store, LiveRegister register, ILogger log)
{
    private const string Back = "The vessel is in the register again.";

    private VesselRegister? _seen;

    /// <summary>
    /// Withdraws what stands for vessels that have left since the last look; at the first one, for all that are not in the register.
    /// Gives the id of each right after it was written: whoever holds a state of it forgets that.
    /// </summary>
    /// <param name="now">The moment, UTC.</param>
    /// <exception cref="StoreUnavailableException">The store cannot be used; the next look goes on where this one ended.</exception>
    public IEnumerable<string> Withdraw(DateTimeOffset now)
    {
        VesselRegister current = register.Current;
        if (ReferenceEquals(current, _seen))
        {
            yield break;
        }

        // The register is another one after each record of work too: only where a vessel has left or come is the store asked.
        bool left = _seen is null || Lacks(current, _seen);
        bool came = _seen is null || Lacks(_seen, current);
        AlarmBook? book = left || came ? AlarmsIfReadable(now) : null;
        if (left)
        {
            foreach (string id in WithSomethingStanding(book).Where(id => current.Find(id) is null))
            {
                if (TryWrite(id, now, Withdrawal))
                {
                    yield return id;
                }
            }
        }

        if (came)
        {
            // Readings past their retention make nothing anew: no alarm may stay suppressed for that.
            foreach (string id in book?.OfVesselsThatLeft.Select(alarm => alarm.VesselId).Distinct(StringComparer.Ordinal).Where(id => current.Find(id) is not null) ?? [])
            {
                _ = TryWrite(id, now, Release);
            }
        }

        _seen = current;
    }

    /// <summary>Whether a register lacks a vessel of another one.</summary>
    private static bool Lacks(VesselRegister one, VesselRegister other) => other.Vessels.Any(vessel => one.Find(vessel.Id) is null);

    private List<string> WithSomethingStanding(AlarmBook? book) =>
    [
        .. store.VesselsWithStandingJobs()
            .Concat(book is null ? [] : Standing(book).Select(alarm => alarm.VesselId))
            .Distinct(StringComparer.Ordinal),
    ];

    /// <summary>The alarms; null where a record of them cannot be read, which the health of the alarms tells: the jobs are seen to all the same.</summary>
    private AlarmBook? AlarmsIfReadable(DateTimeOffset now)
    {
        try
        {
            return store.Alarms(now);
        }
        catch (StoreUnavailableException exception) when (exception.InnerException is not SqliteException)
        {
            return null;
        }
    }

    private static IEnumerable<Alarm> Standing(AlarmBook book) => book.Alarms.Where(alarm =>
        alarm.Status.ConditionOn || (alarm.Status.State != AlarmState.Normal && !book.OfVesselsThatLeft.Contains((alarm.VesselId, alarm.Kind))));

    private bool TryWrite(string id, DateTimeOffset now, Func<string, DateTimeOffset, VesselStep, VesselStep> change)
    {
        try
        {
            if (store.LastAssessment(id) is not { } assessment || store.CheckpointBefore(id, DateTimeOffset.MaxValue) is not { } newest)
            {
                return false;
            }

            // After all that the data did, whatever the clock says.
            DateTimeOffset at = newest.Instant > now ? newest.Instant : now;
            store.Save(change(id, at, Unchanged(id, assessment, newest)));
            return true;
        }
        catch (Exception exception) when (exception is not (StoreUnavailableException { InnerException: SqliteException } or OperationCanceledException or OutOfMemoryException))
        {
            // A record of it cannot be read: the others are seen to all the same.
            HostLog.WithdrawalFailed(log, exception, id, exception.Message);
            return false;
        }
    }

    private static VesselStep Unchanged(string id, Assessment assessment, VesselCheckpoint newest) =>
        new() { VesselId = id, InboxSequence = 0, Windows = [], Assessment = assessment, Notices = [], Checkpoint = newest };

    /// <summary>A return begins with an empty state, so that all is made anew.</summary>
    private VesselStep Withdrawal(string id, DateTimeOffset at, VesselStep step) => step with
    {
        Notices = [.. JobTelling.Outstanding(store.LastNotices(id), [], LedgerState.Start, at).Select(notice => notice with { Why = AlarmChange.VesselLeft })],
        AlarmChanges = [.. Standing(store.Alarms(at, id)).SelectMany(alarm => Ended(alarm, at))],
        Checkpoint = new VesselCheckpoint(at, FollowerState.Start.ToStored()),
    };

    private VesselStep Release(string id, DateTimeOffset at, VesselStep step)
    {
        AlarmBook book = store.Alarms(at, id);
        return step with
        {
            AlarmChanges =
            [
                .. book.OfVesselsThatLeft.Select(alarm => book.Of(alarm.VesselId, alarm.Kind))
                    .Select(alarm => new AlarmChange(id, alarm.Kind, at, AlarmEvent.ReleasedByRule, alarm.Priority, Back)),
            ],
        };
    }

    private static IEnumerable<AlarmChange> Ended(Alarm alarm, DateTimeOffset at)
    {
        if (alarm.Status.ConditionOn)
        {
            yield return new AlarmChange(alarm.VesselId, alarm.Kind, at, AlarmEvent.ConditionOff, alarm.Priority, AlarmChange.VesselLeft);
        }

        yield return new AlarmChange(alarm.VesselId, alarm.Kind, at, AlarmEvent.SuppressedByRule, alarm.Priority, AlarmChange.VesselLeft);
    }
}
