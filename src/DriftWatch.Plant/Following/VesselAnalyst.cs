using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Following;

/// <summary>
/// Brings one vessel's assessment up to what the store holds and the register says, one transaction a step. Readings that
/// come late, and charges or checks that are recorded or voided, make it go back to a state before them and take everything
/// after in again; a changed specification makes it go back as far as there are readings. So the answer is that of a new
/// store with the same readings and the register as it is now. A crash between two steps costs nothing: the step is made
/// again. One caller at a time.
/// </summary>
public sealed class VesselAnalyst
{
    /// <summary>States kept in memory, so that readings a little late need no long way back.</summary>
    private const int RecentStates = 4;

    private readonly IVesselHistory _history;
    private readonly AlarmHandling _handling;
    private readonly List<FollowerState> _recent = [];
    private Vessel _vessel;
    private VesselBasis _basis;
    private VesselBasis? _savedBasis;
    private VesselFollower? _follower;
    private (Verdict Verdict, string Reason)? _saved;
    private bool _asked;

    /// <summary>An analyst for a vessel over a store.</summary>
    public VesselAnalyst(Vessel vessel, IVesselHistory history, AlarmHandling handling)
    {
        _handling = handling;
        _vessel = vessel;
        _basis = VesselBasis.Of(vessel);
        _history = history;
    }

    /// <summary>The vessel as it is followed; set anew when the register has changed, it counts from the next step on.</summary>
    public Vessel Vessel
    {
        get => _vessel;
        set
        {
            ArgumentOutOfRangeException.ThrowIfNotEqual(value.Id, _vessel.Id);
            _vessel = value;
            _basis = VesselBasis.Of(value);
        }
    }

    /// <summary>Takes in what waits, and lets time pass.</summary>
    /// <param name="now">The moment for which to notice silence, UTC; null while the data may still be on its way.</param>
    /// <returns>Whether anything was written.</returns>
    public bool Step(DateTimeOffset? now)
    {
        using IVesselView view = _history.View(_vessel.Id);
        Rewind? rewind = null;
        List<PrechargeWindow> restored = [];
        bool current = _follower is not null;
        VesselFollower follower = _follower ?? Load();
        try
        {
            // Forgotten until the step is saved: after a failure the store is asked again.
            _follower = null;
            DateTimeOffset? changed = _basis.DiffersFrom(_savedBasis);
            DateTimeOffset? back = changed < view.Inbox?.Earliest || view.Inbox is null ? changed : view.Inbox.Earliest;
            if (back <= follower.Instant && follower.LastReading > DateTimeOffset.MinValue)
            {
                (follower, rewind) = GoBack(follower.State, back.Value, view.HeldFrom, restored);
            }
            else if (follower.LastReading == DateTimeOffset.MinValue && (!current || changed is not null || view.Inbox is not null))
            {
                // No state, one of an older version, or one from before the first reading: made anew from all readings, whatever stands there.
                (follower, rewind) = StartOver(view.HeldFrom);
            }
            else if (changed is not null)
            {
                follower = Follow(follower.State);
            }

            if (view.Inbox is not null || rewind is not null)
            {
                TakeIn(follower, view);
                if (follower.LastReading == DateTimeOffset.MinValue)
                {
                    rewind = null; // Nothing was ever read of this vessel.
                }
            }

            if (now is { } moment && moment > follower.LastReading)
            {
                follower.AdvanceTo(moment);
            }

            bool written = Save(follower, view.Inbox?.InboxSequence, rewind, restored, now, BasisNow);
            _follower = follower;
            return written;
        }
        catch
        {
            _recent.Clear();
            throw;
        }
    }

    /// <summary>
    /// Says of a vessel whose step failed that its newest readings could not be assessed, and lets time pass over what was
    /// assessed before. Its readings go on waiting: a later step takes them in as ones that came late.
    /// </summary>
    /// <param name="now">The moment, UTC.</param>
    /// <param name="why">Why the step failed, in one sentence.</param>
    /// <returns>Whether anything was written.</returns>
    public bool TellFailure(DateTimeOffset now, string why)
    {
        _follower = null;
        _recent.Clear();
        VesselFollower follower = Load();
        if (now < follower.Instant)
        {
            return false; // Told already, or assessed up to later than now.
        }

        follower.Fail(now, why);
        return Save(follower, null, null, [], now, null);
    }

    private VesselBasis? BasisNow => _basis.DiffersFrom(_savedBasis) is null ? null : _basis;

    private static void TakeIn(VesselFollower follower, IVesselView view)
    {
        DateTimeOffset before = view.HeldFrom > DateTimeOffset.MinValue ? view.HeldFrom.AddTicks(-1) : DateTimeOffset.MinValue;
        foreach (Reading reading in view.ReadingsAfter(follower.LastReading > before ? follower.LastReading : before))
        {
            follower.Accept(reading);
        }
    }

    private VesselFollower Load()
    {
        // What the store says already is not written again: the moment of an assessment is that of its news.
        _saved = _history.LastAssessment(_vessel.Id) is { } last ? (last.Verdict, last.Reason) : null;
        _savedBasis = _history.BasisOf(_vessel.Id);
        return Follow(Read(_history.CheckpointBefore(_vessel.Id, DateTimeOffset.MaxValue)) ?? FollowerState.Start);
    }

    private bool Save(VesselFollower follower, long? inboxSequence, Rewind? rewind, List<PrechargeWindow> restored, DateTimeOffset? now, VesselBasis? basis)
    {
        FollowerState state = follower.State;
        DateTimeOffset asOf = now > state.Tracker.Last ? now.Value : state.Tracker.Last;
        if (asOf == DateTimeOffset.MinValue)
        {
            return false; // Nothing was ever read of this vessel.
        }

        Assessment assessment = follower.Assess(asOf);
        IReadOnlyList<JobNotice> notices = follower.TakeNotices();
        IReadOnlyList<AlarmChange> alarmChanges = follower.TakeAlarmChanges();
        if (inboxSequence is null && rewind is null && basis is null && notices.Count == 0 && alarmChanges.Count == 0
            && _saved == (assessment.Verdict, assessment.Reason))
        {
            return false;
        }

        // What was told is asked for only where it can differ: something new, a way back, or a first step.
        bool ask = notices.Count > 0 || rewind is not null || !_asked;

        _history.Save(new VesselStep
        {
            VesselId = _vessel.Id,
            InboxSequence = inboxSequence ?? 0,
            Rewind = rewind,
            Basis = basis,
            Windows = [.. restored, .. follower.TakeChangedWindows()],
            Assessment = assessment,
            Notices = ask ? JobTelling.Outstanding(_history.LastNotices(_vessel.Id), notices, state.Ledger, asOf) : [],
            AlarmChanges = alarmChanges,
            Checkpoint = new VesselCheckpoint(state.Instant, state.ToStored()),
        });
        _saved = (assessment.Verdict, assessment.Reason);
        _savedBasis = basis ?? _savedBasis;
        _asked = true;
        if (inboxSequence is not null)
        {
            if (_recent.Count == RecentStates)
            {
                _recent.RemoveAt(0);
            }

            _recent.Add(state);
        }

        return true;
    }

    /// <summary>
    /// A follower from the beginning. Windows that rest on raw readings past their retention cannot be found again: they are
    /// taken up as the record has them.
    /// </summary>
    private (VesselFollower Follower, Rewind Rewind) StartOver(DateTimeOffset heldFrom)
    {
        _recent.Clear();
        var follower = new VesselFollower(_vessel, FollowerState.Start, [], _handling);
        if (heldFrom == DateTimeOffset.MinValue)
        {
            return (follower, new Rewind(DateTimeOffset.MinValue, DateTimeOffset.MinValue));
        }

        follower.Restore(
            _history.Windows(_vessel.Id).Where(window => window.Start < heldFrom),
            [.. _history.LastNotices(_vessel.Id).Where(notice => notice.State == JobState.Open).Select(notice => notice.Job)]);
        return (follower, new Rewind(DateTimeOffset.MinValue, heldFrom.AddTicks(-1)));
    }

    /// <summary>A follower as it was before an instant: from memory, else from the store, else from the beginning.</summary>
    private (VesselFollower Follower, Rewind Rewind) GoBack(
        FollowerState present, DateTimeOffset earliest, DateTimeOffset heldFrom, List<PrechargeWindow> restored)
    {
        _recent.RemoveAll(state => state.Instant >= earliest);
        FollowerState state = _recent.Count > 0
            ? _recent[^1]
            : Read(_history.CheckpointBefore(_vessel.Id, earliest)) ?? FollowerState.Start;
        if (present.Tracker.Segments.LastRevocation > state.Tracker.Last || state.Instant < heldFrom)
        {
            // Points of a segment were taken back since: the record of windows no longer shows what they were. Or readings
            // that came after the state are gone.
            return StartOver(heldFrom);
        }

        restored.AddRange(state.Tracker.Segments.Pending);
        restored.AddRange(state.Tracker.Held);
        var rewind = new Rewind(state.Instant, state.Tracker.SettledUpTo);
        return (Follow(state), rewind);
    }

    private static FollowerState? Read(VesselCheckpoint? checkpoint) =>
        checkpoint is null ? null : FollowerState.FromStored(checkpoint.State.Span);

    private VesselFollower Follow(FollowerState state)
    {
        HashSet<DateTimeOffset> undecided = [.. state.Tracker.Segments.Pending.Concat(state.Tracker.Held).Select(window => window.Start)];
        return new VesselFollower(_vessel, state, _history.Windows(_vessel.Id).Where(window =>
            window.Standing == WindowStanding.Accepted
            && window.Start <= state.Tracker.SettledUpTo
            && !undecided.Contains(window.Start)), _handling);
    }
}
