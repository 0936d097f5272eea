using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Following;

/// <summary>
/// Follows one vessel from readings to jobs and alarms. An assessment is made whenever the trend has a new point, a fault of a signal comes,
/// changes or goes (which often stops the points), whenever the vessel has been silent too long and at each recorded charge, check or change of a
/// transducer; all these moments are set by the data and the records, so jobs and alarms do not depend on how readings are cut into batches or
/// on when the program looked. Not thread-safe.
/// </summary>
public sealed class VesselFollower
{
    private readonly Vessel _vessel;
    private readonly AlarmHandling _handling;
    private readonly VesselTracker _tracker;
    private readonly IReadOnlyList<DateTimeOffset> _records;
    private readonly IReadOnlyList<HandReading> _hand;
    private readonly List<JobNotice> _notices = [];
    private readonly List<AlarmChange> _alarmChanges = [];
    private LedgerState _ledger;
    private AlarmConditions _alarms;
    private DateTimeOffset _silenceNoticed;
    private DateTimeOffset _lastEvent;
    private DateTimeOffset _passed;
    private (Signal Signal, FaultKind Kind, Ne107Status Status)[] _faults;
    private string? _failure;

    /// <summary>Goes on from a state.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="state">Where to go on.</param>
    /// <param name="windows">Accepted windows up to that state, in order of time.</param>
    /// <param name="handling">How alarms are handled.</param>
    public VesselFollower(Vessel vessel, FollowerState state, IEnumerable<PrechargeWindow> windows, AlarmHandling handling)
    {
        _vessel = vessel;
        _handling = handling;
        _records = VesselRecords.Instants(vessel);
        _hand = HandReading.Of(vessel, HandInstruments.Common);
        _tracker = new VesselTracker(vessel.Specification, vessel.GasSideWork, state.Tracker, windows, [.. _hand.Select(reading => reading.At)]);
        _ledger = state.Ledger;
        _alarms = state.Alarms;
        _silenceNoticed = state.SilenceNoticed;
        _lastEvent = state.LastEvent;
        _passed = state.Instant;
        _faults = FaultsNow;
    }

    /// <summary>Where it stands.</summary>
    public FollowerState State => FollowerState.Start with
    {
        Tracker = _tracker.State,
        Ledger = _ledger,
        Alarms = _alarms,
        SilenceNoticed = _silenceNoticed,
        LastEvent = _lastEvent,
    };

    /// <summary>Instant of the last reading taken in, UTC; the minimum before the first.</summary>
    public DateTimeOffset LastReading => _tracker.LastReading;

    /// <summary>Up to when it has drawn conclusions, UTC: a reading not after it has come late.</summary>
    public DateTimeOffset Instant => _lastEvent > LastReading ? _lastEvent : LastReading;

    /// <summary>Takes a reading in; see <see cref="VesselTracker.Accept"/>.</summary>
    public void Accept(Reading reading)
    {
        if (reading.Instant >= Instant && reading.Instant < _passed)
        {
            // The clock went ahead of the readings and drew no conclusion: what is on record since counts anew with what they show.
            _passed = reading.Instant;
        }

        Begin(reading.Instant);
        AdvanceTo(reading.Instant);
        bool points = _tracker.Accept(reading);
        (Signal, FaultKind, Ne107Status)[] faults = FaultsNow;
        if (points || !faults.SequenceEqual(_faults))
        {
            _faults = faults;
            _ = Advance(reading.Instant);
        }
    }

    /// <summary>
    /// Takes up windows as the record has them, where their readings are gone: jobs and alarms follow from them, each at the
    /// end of its window. Jobs that the queue has been told of and that still stand keep their keys, revisions and marks, and say what
    /// the register says now; what else there was to tell is old news.
    /// </summary>
    /// <param name="windows">Windows of any standing in order of time, before any reading that is still to be taken in.</param>
    /// <param name="told">Open jobs that the queue was told of.</param>
    public void Restore(IEnumerable<PrechargeWindow> windows, IReadOnlyCollection<Job> told)
    {
        foreach (PrechargeWindow window in windows)
        {
            Begin(window.Start);
            AdvanceTo(window.Start);
            _tracker.Restore(window);
            if (window.Standing == WindowStanding.Accepted)
            {
                _ = Advance(window.End);
            }
        }

        _notices.Clear();
        _ledger = _ledger with
        {
            Standing =
            [
                .. _ledger.Standing.Select(standing => told.FirstOrDefault(job => job.Cause == standing.Job.Cause) is { } job
                    ? standing with { Job = AsTold(standing.Job, job) }
                    : standing),
            ],
        };
    }

    /// <summary>Lets time pass: notices, each at its own moment, what time alone brings up to an instant.</summary>
    public void AdvanceTo(DateTimeOffset instant)
    {
        if (LastReading == DateTimeOffset.MinValue && _hand.Count == 0)
        {
            return; // Before the first reading nothing is followed but what is found by hand.
        }

        while (NextRecord(instant) is { } record)
        {
            // Up to just before it: silence from then on counts anew.
            NoticeUpTo(record.AddTicks(-1));
            if (_ledger.HasStanding || _ledger.Declined.Count > 0 || _alarms.Listed.Count > 0 || _hand.Count > 0)
            {
                At(record, Advance);
            }

            _passed = record;
        }

        NoticeUpTo(instant);
        _passed = instant > _passed ? instant : _passed;
    }

    /// <summary>
    /// Says that newer readings are there and could not be worked on: what time alone brings is noticed, nothing good is said any
    /// more, and jobs and alarms tell of it from this moment on.
    /// </summary>
    /// <param name="now">The moment, UTC; not before what was taken in.</param>
    /// <param name="why">Why, in one sentence.</param>
    public void Fail(DateTimeOffset now, string why)
    {
        _failure = $"The newest readings could not be assessed: {why}";
        AdvanceTo(now);
        At(now, Advance);
    }

    /// <summary>What is said of the vessel at a moment.</summary>
    public Assessment Assess(DateTimeOffset asOf) => HandLevel.In(_vessel, _hand, Measured(asOf), _tracker.FirstReading);

    /// <summary>Windows that are new or whose standing changed since the last call.</summary>
    public IReadOnlyList<PrechargeWindow> TakeChangedWindows() => _tracker.TakeChangedWindows();

    /// <summary>What the queue is to be told since the last call, in order.</summary>
    public IReadOnlyList<JobNotice> TakeNotices() => Take(_notices);

    /// <summary>What happened to the alarms since the last call, in order.</summary>
    public IReadOnlyList<AlarmChange> TakeAlarmChanges() => Take(_alarmChanges);

    /// <summary>
    /// With the first reading its time begins: what was found by hand longer before it than the vessel may go unseen says nothing of
    /// it, for nobody knows what was done since. While nothing was ever read it is all that is known.
    /// </summary>
    private void Begin(DateTimeOffset first)
    {
        if (LastReading == DateTimeOffset.MinValue && _passed == DateTimeOffset.MinValue)
        {
            _passed = first - _vessel.Specification.LongestSilence;
        }
    }

    /// <summary>What the transducers show of it at a moment, and what checks by hand say of the transducers.</summary>
    private Assessment Measured(DateTimeOffset asOf)
    {
        Assessment assessment = WithFailure(_tracker.Assess(asOf));
        return _hand.Count == 0 || assessment.Segment is not { } segment || _tracker.FirstReading is not { } first ? assessment : assessment with
        {
            Drift = HandAgainstTransducer.Drift(
                _vessel.Specification, _hand, _tracker.Points, segment, VesselRecords.LastTransducerChange(_vessel, asOf) ?? first, asOf),
        };
    }

    private Assessment WithFailure(Assessment now)
    {
        if (_failure is not { } failure)
        {
            return now;
        }

        now = now with { DataFault = now.DataFault.Length > 0 ? $"{failure} {now.DataFault}" : failure };
        return now.Verdict is Verdict.WithinLimits or Verdict.NotKnownYet
            ? now with { Verdict = Verdict.NotKnownYet, Ground = null, Reason = $"Not known: the assessment failed. {failure}" }
            : now;
    }

    private (Signal, FaultKind, Ne107Status)[] FaultsNow => [.. _tracker.Faults.Select(fault => (fault.Signal, fault.Kind, fault.Status))];

    private static Job AsTold(Job now, Job told) =>
        now with { Key = told.Key, Raised = told.Raised, Revision = told.Revision, Taken = told.Taken, ReportedDone = told.ReportedDone };

    private static T[] Take<T>(List<T> list)
    {
        T[] taken = [.. list];
        list.Clear();
        return taken;
    }

    private DateTimeOffset? NextRecord(DateTimeOffset upTo)
    {
        foreach (DateTimeOffset record in _records)
        {
            if (record > _passed)
            {
                return record <= upTo ? record : null;
            }
        }

        return null;
    }

    /// <summary>Silence that has become too long, delays that have ended and declined jobs that are due again, in order of time.</summary>
    private void NoticeUpTo(DateTimeOffset instant)
    {
        while (true)
        {
            DateTimeOffset? silence = TooLong(instant) is { } tooLong && tooLong <= instant && tooLong != _silenceNoticed ? tooLong : null;
            DateTimeOffset? delay = _alarms.NextDeadline(_handling) is { } deadline && deadline <= instant ? deadline : null;
            DateTimeOffset? declined = _ledger.NextDue is { } due && due <= instant ? due : null;
            if (declined is { } again && !(silence < again) && !(delay < again))
            {
                At(again, Advance);
            }
            else if (delay is { } over && !(silence < over))
            {
                At(over, Elapse);
            }
            else if (silence is { } noticed)
            {
                _silenceNoticed = noticed;
                At(noticed, Advance);
                _lastEvent = noticed > _lastEvent ? noticed : _lastEvent;
            }
            else
            {
                return;
            }
        }
    }

    /// <summary>The first moment of too long a silence: after the last window, charge or check.</summary>
    private DateTimeOffset? TooLong(DateTimeOffset instant)
    {
        DateTimeOffset? heard = _tracker.HeardLast(instant);
        if (_vessel.RecordedChecks.Count > 0 && VesselRecords.LastCheck(_vessel, instant)?.At is { } check && check > heard)
        {
            heard = check;
        }

        return heard + _vessel.Specification.LongestSilence + TimeSpan.FromTicks(1);
    }

    private void At(DateTimeOffset moment, Func<DateTimeOffset, bool> step)
    {
        // What is on record or due from before the last reading is noticed now.
        DateTimeOffset at = moment > LastReading ? moment : LastReading;
        if (step(at) && at > _lastEvent)
        {
            _lastEvent = at;
        }
    }

    /// <summary>Takes the assessment of a moment into jobs and alarms; says whether anything changed.</summary>
    private bool Advance(DateTimeOffset asOf)
    {
        Assessment measured = Measured(asOf);
        Assessment assessment = HandLevel.In(_vessel, _hand, measured, _tracker.FirstReading);
        int declined = _ledger.Declined.Count;
        (_ledger, IReadOnlyList<JobNotice> notices) = JobLedger.Advance(_vessel, _ledger, assessment);
        (_ledger, IReadOnlyList<JobNotice> drift) = DriftJob.Advance(_vessel, _ledger, assessment);
        AlarmConditions before = _alarms;
        (_alarms, IReadOnlyList<AlarmChange> changes) = AlarmConditioner.Advance(_vessel, _alarms, _handling, measured);
        _notices.AddRange(notices);
        _notices.AddRange(drift);
        _alarmChanges.AddRange(changes);
        return notices.Count + drift.Count > 0 || changes.Count > 0 || declined != _ledger.Declined.Count || !before.Listed.SequenceEqual(_alarms.Listed);
    }

    private bool Elapse(DateTimeOffset at)
    {
        (_alarms, IReadOnlyList<AlarmChange> changes) = AlarmConditioner.Elapse(_vessel.Id, _alarms, _handling, at);
        _alarmChanges.AddRange(changes);
        return true;
    }
}
