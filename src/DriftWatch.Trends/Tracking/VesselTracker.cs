using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tracking;

/// <summary>
/// Follows one vessel reading by reading, in order of time, from readings to assessment. The same readings give the same
/// windows bit for bit, however they are cut into batches. Not thread-safe: one writer a vessel.
/// </summary>
public sealed class VesselTracker
{
    /// <summary>Windows held back at a doubtful temperature; the oldest gives way.</summary>
    private const int MostHeld = 4;

    /// <summary>In a rest that goes on for longer, fluid that was seeping out has gone.</summary>
    private static readonly TimeSpan LongestSeepage = TimeSpan.FromDays(14);

    /// <summary>
    /// A vessel is not left alone for so long between its first readings and the next, as a logger that starts at its default date
    /// makes it look: more than a year, and twenty times as long as the readings before.
    /// </summary>
    private static readonly TimeSpan StrayGap = TimeSpan.FromDays(400);
    private const double StrayGapShare = 20;

    private readonly VesselSpecification _vessel;
    private readonly IReadOnlyList<GasSideWork> _work;
    private readonly IReadOnlyList<DateTimeOffset> _checkedAt;
    private SampleJoiner _joiner;
    private TemperatureWatch _watch;
    private FaultWatch _faults;
    private WindowFinder _finder;
    private readonly WindowJudge _judge;
    private SegmentKeeper _keeper;
    private readonly List<PrechargeWindow> _held;
    private readonly List<PrechargeWindow> _changed = [];
    private Reading _last;
    private DateTimeOffset? _firstReading;
    private DateTimeOffset? _lastWindow;
    private SunkRest? _sunk;
    private ThermalMemory _thermal;
    private StrayReadings? _stray;

    /// <summary>Goes on from a state, or starts.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="work">Work on record that ends a trend segment, in order of time.</param>
    /// <param name="state">Where to go on; <see cref="TrackerState.Start"/> for the beginning.</param>
    /// <param name="windows">Accepted windows up to that state, in order of time.</param>
    /// <param name="checkedAt">Instants at which the vessel was checked by hand, UTC: <see cref="Points"/> keeps the windows beside them.</param>
    public VesselTracker(
        VesselSpecification vessel, IReadOnlyList<GasSideWork> work, TrackerState state, IEnumerable<PrechargeWindow> windows,
        IReadOnlyList<DateTimeOffset> checkedAt)
    {
        _vessel = vessel;
        _work = work;
        _checkedAt = checkedAt;
        _joiner = new SampleJoiner(vessel, state.Joiner);
        _watch = new TemperatureWatch(state.Watch);
        _faults = new FaultWatch(vessel, state.Faults ?? FaultState.Start);
        _finder = new WindowFinder(vessel, work, state.Finder);
        _judge = new WindowJudge(vessel);

        // A window that waited when the state was made is decided anew from the state, whatever became of it meanwhile.
        HashSet<DateTimeOffset> waiting = [.. state.Segments.Pending.Concat(state.Held).Select(window => window.Start)];
        _keeper = new SegmentKeeper(
            vessel, work, state.Segments, windows.Where(window => !waiting.Contains(window.Start)), checkedAt, _changed.Add);
        _held = [.. state.Held];
        _last = new Reading((Signal)state.LastSignal, state.Last, 0);
        _firstReading = state.FirstReading;
        _lastWindow = state.LastWindow;
        _sunk = state.Sunk;
        _thermal = state.Thermal ?? ThermalMemory.Start;
        _stray = state.Stray;
    }

    /// <summary>Where it stands.</summary>
    public TrackerState State => new(
        _last.Instant, (byte)_last.Signal, _firstReading, _lastWindow,
        _joiner.State, _watch.State, _finder.State, _keeper.State, [.. _held], _sunk, _thermal, _faults.State, _stray);

    /// <summary>Instant of the last reading taken in, UTC; the minimum before the first.</summary>
    public DateTimeOffset LastReading => _last.Instant;

    /// <summary>Instant of the first reading, UTC; null before it.</summary>
    public DateTimeOffset? FirstReading => _firstReading;

    /// <summary>
    /// Accepted windows of the current segment in order of time: the first, the newest and those beside a check by hand, all as long as
    /// they are few.
    /// </summary>
    public IReadOnlyList<PrechargeWindow> Points => _keeper.Points;

    /// <summary>
    /// From when on silence counts at an instant: the last accepted window, recorded charge or, failing both, the first
    /// reading, UTC; null before the first reading.
    /// </summary>
    public DateTimeOffset? HeardLast(DateTimeOffset instant)
    {
        DateTimeOffset? heard = _lastWindow ?? _firstReading;
        for (int i = _work.Count - 1; i >= 0 && heard is not null && _work[i].At > heard; i--)
        {
            if (_work[i].Kind == GasSideWorkKind.Charge && _work[i].At <= instant)
            {
                return _work[i].At;
            }
        }

        return heard;
    }

    /// <summary>Takes a reading in.</summary>
    /// <param name="reading">Not before the last one taken in; the same one again changes nothing.</param>
    /// <returns>Whether the points of the current segment changed, so that an assessment is due.</returns>
    /// <exception cref="InvalidOperationException">The reading lies before one that was taken in already.</exception>
    public bool Accept(Reading reading)
    {
        int order = reading.CompareTo(_last);
        if (order <= 0)
        {
            return order == 0
                ? false
                : throw new InvalidOperationException(
                    $"Reading of {reading.Instant:O} came after one of {_last.Instant:O}: go on from a state before it.");
        }

        if (_stray is null && _firstReading is { } first && reading.Instant - _last.Instant is var gap
            && gap > StrayGap && gap > StrayGapShare * (_last.Instant - first) && MayBeStray(reading.Instant))
        {
            LeaveOut(new StrayReadings(first, _last.Instant), reading.Instant);
        }

        bool changed = false;
        if (ChangesTransducer(_last.Instant, reading.Instant))
        {
            // The rest that the old transducer saw is judged by what was known of it.
            changed = _finder.Close() is { } open && Judge(open);
            StartTransducersAnew();
        }

        return Follow(reading) || changed;
    }

    private bool Follow(Reading reading)
    {
        _last = reading;
        _firstReading ??= reading.Instant;
        if (!_faults.Accept(reading))
        {
            return false;
        }

        GasSideSample? joined = _joiner.Accept(reading);
        if (reading.Signal == Signal.GasTemperature)
        {
            return _watch.AcceptTemperature(reading.Instant, reading.Value) && ReleaseHeld();
        }

        if (joined is not { } sample || !NitrogenRange.Holds(sample.TemperatureK, sample.PressurePa))
        {
            return false;
        }

        _watch.AcceptPressure(sample.PressurePa);
        _faults.Accept(sample);
        if (_held.Count > 0 && _watch.Stuck)
        {
            RejectHeld();
        }

        return _finder.Accept(sample) is { } run && Judge(run);
    }

    private bool Judge(RestRun run)
    {
        if (_sunk?.Rest != run.Rest && _judge.Sinks(run))
        {
            _sunk = new SunkRest(run.Rest, run.Blocks[0].First);
        }

        PrechargeWindow? window = _judge.Judge(run, _thermal);
        _thermal = _judge.Learn(run, _thermal, window);
        _faults.Accept(run, window, window is null ? [] : PointsToCompare(window));
        return window is not null && Take(window);
    }

    /// <summary>Takes up a window as the record has it, where its readings are gone and it cannot be found again.</summary>
    /// <param name="window">The window, of any standing; not before the last reading or window taken in.</param>
    /// <exception cref="InvalidOperationException">The window lies before what was taken in already.</exception>
    public void Restore(PrechargeWindow window)
    {
        if (window.Start < _last.Instant)
        {
            throw new InvalidOperationException($"Window of {window.Start:O} came after {_last.Instant:O}: take up windows in order, before readings.");
        }

        _last = new Reading(Signal.GasPressure, window.End, 0);
        _finder.Know(window.Rest);
        if (window.Standing == WindowStanding.Rejected)
        {
            return;
        }

        _firstReading ??= window.Start;
        _keeper.Restore(window);
        if (window.Standing == WindowStanding.Accepted)
        {
            _lastWindow = window.End;
        }
    }

    /// <summary>Windows that are new or whose standing changed since the last call, in the order of the changes.</summary>
    public IReadOnlyList<PrechargeWindow> TakeChangedWindows()
    {
        PrechargeWindow[] changed = [.. _changed];
        _changed.Clear();
        return changed;
    }

    /// <summary>What is said of the vessel at a moment.</summary>
    /// <param name="asOf">The moment, UTC; not before the last reading that should count.</param>
    /// <returns>The assessment.</returns>
    public Assessment Assess(DateTimeOffset asOf)
    {
        SegmentState segments = _keeper.State;

        // Work that no window has followed yet: the old segment is over.
        bool ended = segments.WorkPassed < _work.Count && _work[segments.WorkPassed].At <= asOf;
        IReadOnlyList<SensorFault> faults = Faults;
        var evidence = new VesselEvidence(
            ended ? null : _keeper.Current,
            ended ? [] : _keeper.Points,
            ended ? new TrendSeries() : _keeper.Series,
            segments.PreviousLevelPa,
            HeardLast(asOf) ?? asOf,
            _lastWindow,
            string.Join(' ', faults.Select(fault => fault.Evidence)));
        Assessment assessment = VerdictJudge.Assess(_vessel, evidence, asOf);
        return faults.Count == 0 ? assessment : WithFaults(assessment with { Faults = new SensorFaults(faults) });
    }

    private Assessment WithFaults(Assessment assessment) =>
        assessment with { Reason = VerdictWords.Reason(_vessel, assessment, PressureUnit.Bar) };

    /// <summary>What is wrong with the signals now.</summary>
    public IReadOnlyList<SensorFault> Faults => _faults.Faults(
        _watch.Stuck ? new SensorFault(Signal.GasTemperature, Ne107Status.Failure, FaultKind.Stuck, _watch.Since, StuckTemperature) : null,
        _firstReading, TransducersSince, _stray);

    /// <summary>When the transducers were changed last, else the first reading, UTC; the minimum before it.</summary>
    private DateTimeOffset TransducersSince
    {
        get
        {
            DateTimeOffset first = _firstReading ?? DateTimeOffset.MinValue;
            for (int i = _work.Count - 1; i >= 0 && _work[i].At > first; i--)
            {
                if (_work[i].Kind == GasSideWorkKind.TransducerChange && _work[i].At <= _last.Instant)
                {
                    return _work[i].At;
                }
            }

            return first;
        }
    }

    private string StuckTemperature => string.Create(System.Globalization.CultureInfo.InvariantCulture,
            $"The gas temperature has stood at {_watch.State.ValueK - GasTemperature.IcePointKelvins:0.0} degrees C since {_watch.Since.UtcDateTime:yyyy-MM-dd} while the pressure moved: check the temperature sensor.");

    private bool ChangesTransducer(DateTimeOffset after, DateTimeOffset upTo)
    {
        for (int i = _work.Count - 1; i >= 0 && _work[i].At > after; i--)
        {
            if (_work[i].Kind == GasSideWorkKind.TransducerChange && _work[i].At <= upTo)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>What was learned of a transducer, its faults and its lag, does not hold for the next one.</summary>
    private void StartTransducersAnew()
    {
        _changed.AddRange(_held.Select(held => held with
        {
            Standing = WindowStanding.Rejected,
            Reason = "The transducer was changed before its temperature could be trusted.",
        }));
        ForgetTransducers();
    }

    private void ForgetTransducers()
    {
        _held.Clear();
        _watch = new TemperatureWatch(TrackerState.Start.Watch);
        _faults = new FaultWatch(_vessel, FaultState.Start);
        _thermal = ThermalMemory.Start;
    }

    /// <summary>
    /// A few readings long before all others may be of a clock that was not set. Once they have shown a trend, or work is on record
    /// among them, the vessel was in use then.
    /// </summary>
    private bool MayBeStray(DateTimeOffset instant) =>
        _keeper.State.NextNumber <= 1 && _keeper.Series.Count < VerdictJudge.FewestForTrend && !_work.Any(work => work.At <= instant);

    /// <summary>Begins anew: nothing that stray readings showed holds for those after them.</summary>
    private void LeaveOut(StrayReadings stray, DateTimeOffset instant)
    {
        SegmentState segments = _keeper.State;
        string reason = string.Create(System.Globalization.CultureInfo.InvariantCulture,
            $"Dated {(instant - stray.Last).TotalDays:0} days before all that follows: the logger's clock was not set then, or the vessel was not in use yet.");
        _changed.AddRange(_keeper.Points.Concat(segments.Pending).Concat(_held).Select(window => window with
        {
            Standing = WindowStanding.Rejected,
            Reason = reason,
            Segment = -1,
        }));
        ForgetTransducers();
        _joiner = new SampleJoiner(_vessel, TrackerState.Start.Joiner);
        _finder = new WindowFinder(_vessel, _work, _finder.State with { Run = null, Held = [] });

        // Segments go on to be counted, and nobody goes on from a state before: the record no longer shows what these windows were.
        _keeper = new SegmentKeeper(
            _vessel, _work,
            SegmentState.Start with { NextNumber = segments.NextNumber, WorkPassed = segments.WorkPassed, LastWork = segments.LastWork, LastRevocation = instant },
            [], _checkedAt, _changed.Add);
        _sunk = null;
        _lastWindow = null;
        _firstReading = null;
        _stray = stray;
    }

    /// <summary>Points of the current segment, unless work on record lies between them and a window.</summary>
    private IReadOnlyList<PrechargeWindow> PointsToCompare(PrechargeWindow window)
    {
        IReadOnlyList<PrechargeWindow> points = _keeper.Points;
        for (int i = _work.Count - 1; i >= 0 && points.Count > 0 && _work[i].At > points[^1].Start; i--)
        {
            if (_work[i].At <= window.End)
            {
                return [];
            }
        }

        return points;
    }

    private bool Take(PrechargeWindow window)
    {
        if (window.Standing == WindowStanding.Rejected)
        {
            _changed.Add(window);
            return false;
        }

        if (_watch.Stuck)
        {
            _changed.Add(StuckWindow(window));
            return false;
        }

        if (FaultWatch.Against(window.Evidence, Faults) is { } reason)
        {
            _changed.Add(window with { Standing = WindowStanding.Rejected, Reason = reason });
            return false;
        }

        if (_watch.Doubtful && !(_watch.OnlyFell && _keeper.LiesDeepBelow(window)))
        {
            Hold(window);
            return false;
        }

        return Offer(window);
    }

    private void Hold(PrechargeWindow window)
    {
        if (_held.Count == MostHeld)
        {
            _changed.Add(_held[0] with { Standing = WindowStanding.Rejected, Reason = "The temperature did not move for too long to trust this window." });
            _held.RemoveAt(0);
        }

        PrechargeWindow held = window with
        {
            Standing = WindowStanding.Ambiguous,
            Reason = "The temperature stands still while the pressure moves; it has to move before this window counts.",
        };
        _held.Add(held);
        _changed.Add(held);
    }

    private bool ReleaseHeld()
    {
        bool changed = false;
        foreach (PrechargeWindow held in _held)
        {
            changed |= Offer(held with { Standing = WindowStanding.Accepted, Reason = "" });
        }

        _held.Clear();
        return changed;
    }

    private void RejectHeld()
    {
        _changed.AddRange(_held.Select(StuckWindow));
        _held.Clear();
    }

    private PrechargeWindow StuckWindow(PrechargeWindow window) =>
        window with { Standing = WindowStanding.Rejected, Reason = StuckTemperature };

    private bool Offer(PrechargeWindow window)
    {
        bool sunk = _sunk is { } rest && rest.Rest == window.Rest && window.Start - rest.Since < LongestSeepage;
        bool changed = _keeper.Offer(window, sunk, _last.Instant);
        if (changed && _keeper.Points.Count > 0)
        {
            _lastWindow = _keeper.Points[^1].End;
        }

        return changed;
    }
}
