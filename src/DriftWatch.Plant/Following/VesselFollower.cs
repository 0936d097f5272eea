using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Following;

/// <summary>
/// Follows one vessel from readings to jobs. An assessment is made whenever the trend has a new point and whenever the
/// vessel has been silent too long; both moments are set by the data, so the jobs do not depend on how readings are cut
/// into batches or on when the program looked. Not thread-safe.
/// </summary>
public sealed class VesselFollower
{
    private readonly Vessel _vessel;
    private readonly VesselTracker _tracker;
    private readonly List<JobNotice> _notices = [];
    private LedgerState _ledger;

    /// <summary>Goes on from a state.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="state">Where to go on.</param>
    /// <param name="windows">Accepted windows up to that state, in order of time.</param>
    public VesselFollower(Vessel vessel, FollowerState state, IEnumerable<PrechargeWindow> windows)
    {
        _vessel = vessel;
        _tracker = new VesselTracker(vessel.Specification, vessel.RecordedCharges, state.Tracker, windows);
        _ledger = state.Ledger;
    }

    /// <summary>Where it stands.</summary>
    public FollowerState State => FollowerState.Start with { Tracker = _tracker.State, Ledger = _ledger };

    /// <summary>Instant of the last reading taken in, UTC; the minimum before the first.</summary>
    public DateTimeOffset LastReading => _tracker.LastReading;

    /// <summary>Takes a reading in; see <see cref="VesselTracker.Accept"/>.</summary>
    public void Accept(Reading reading)
    {
        AdvanceTo(reading.Instant);
        if (_tracker.Accept(reading))
        {
            Advance(reading.Instant);
        }
    }

    /// <summary>Lets time pass: notices silence that has become too long by an instant.</summary>
    public void AdvanceTo(DateTimeOffset instant)
    {
        if (_ledger.Open is null && _tracker.HeardLast(instant) is { } heard)
        {
            DateTimeOffset tooLong = heard + _vessel.Specification.LongestSilence + TimeSpan.FromTicks(1);
            if (instant >= tooLong)
            {
                Advance(tooLong);
            }
        }
    }

    /// <summary>What is said of the vessel at a moment.</summary>
    public Assessment Assess(DateTimeOffset asOf) => _tracker.Assess(asOf);

    /// <summary>Windows that are new or whose standing changed since the last call.</summary>
    public IReadOnlyList<PrechargeWindow> TakeChangedWindows() => _tracker.TakeChangedWindows();

    /// <summary>What the queue is to be told since the last call, in order.</summary>
    public IReadOnlyList<JobNotice> TakeNotices()
    {
        JobNotice[] notices = [.. _notices];
        _notices.Clear();
        return notices;
    }

    private void Advance(DateTimeOffset asOf)
    {
        (_ledger, IReadOnlyList<JobNotice> notices) = JobLedger.Advance(_vessel, _ledger, _tracker.Assess(asOf));
        _notices.AddRange(notices);
    }
}
