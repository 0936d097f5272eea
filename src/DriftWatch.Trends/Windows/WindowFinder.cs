using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Windows;

/// <summary>
/// Finds the runs of samples in which the vessel may be at rest. With a fluid-side signal a run is the time for which
/// the fluid side is released; with the gas side alone it is a stretch below the working pressures in which the
/// normalised pressure moves no faster than a gas that settles. Where the pressure steps up before the fluid side has told again
/// that it is released, what follows waits for its word. What a run shows is judged when it ends.
/// </summary>
internal sealed class WindowFinder
{
    /// <summary>Blocks a run keeps; at the limit neighbours are joined in pairs.</summary>
    private const int MostBlocks = 64;

    /// <summary>A longer rest is cut here, so that a vessel that always rests still shows a point a day.</summary>
    private static readonly TimeSpan LongestRun = TimeSpan.FromHours(24);

    /// <summary>Samples further apart do not belong to one rest: the machine may have worked in between.</summary>
    private static readonly TimeSpan LongestGap = TimeSpan.FromHours(3);

    /// <summary>
    /// Gas side alone: greatest relative step of the normalised pressure between two samples of one run. A settling gas
    /// moves less from sample to sample once the first minutes are over; a working machine moves far more.
    /// </summary>
    private const double GreatestStep = 0.006;

    /// <summary>
    /// Samples held back at most, and for how long; a fluid side that says nothing for longer is believed. A machine that starts presses
    /// the gas together before a fluid-side signal of its own, later topic says so; one that is told on change says so within seconds.
    /// </summary>
    private const int MostHeld = 16;
    private static readonly TimeSpan LongestHoldByContact = TimeSpan.FromMinutes(2);
    private static readonly TimeSpan LongestHoldByPressure = TimeSpan.FromMinutes(10);

    /// <summary>Added to the greatest step for the sensor's own graininess, as a share of its span.</summary>
    private const double GraininessShareOfSpan = 0.0005;

    /// <summary>Gas side alone: a resting gas stays below this share of p1 (absolute).</summary>
    private const double CeilingShareOfP1 = 0.99;

    /// <summary>
    /// Where the working pressures are not on record, a machine that idles must not be taken for a vessel at rest: a gas that would be above
    /// this many nominal precharges, and above the upper limit, at the reference temperature is at work (common practice: p1 lies there or above).
    /// </summary>
    private const double NominalsUnknown = 1.1;

    private readonly FastIsochoricCorrection _correction;
    private readonly double? _ceilingPa;
    private readonly double _highestPrechargePa;
    private readonly double _graininessPa;
    private readonly IReadOnlyList<GasSideWork> _work;
    private readonly List<RestBlock> _blocks = new(MostBlocks);
    private readonly List<RestBlock> _held = [];
    private long _rest;
    private WindowEvidence _evidence;
    private int _blockSize = 1;
    private double _lastPrechargePa;
    private long _nextRest;
    private int _workPassed;

    public WindowFinder(VesselSpecification vessel, IReadOnlyList<GasSideWork> work, FinderState state)
    {
        _correction = Corrections.For(vessel.ReferenceTemperature.Kelvins);
        _ceilingPa = vessel.LowestWorkingPressure is { } p1 ? CeilingShareOfP1 * p1.ToAbsolute(vessel.Ambient).Pascals : null;
        _highestPrechargePa = GaugePressure.FromPascals(Math.Max(NominalsUnknown * vessel.NominalPrecharge.Pascals, vessel.UpperLimit.Pascals))
            .ToAbsolute(vessel.Ambient).Pascals;
        _graininessPa = GraininessShareOfSpan * (vessel.GasPressureSensor.RangeHighPa - vessel.GasPressureSensor.RangeLowPa);
        _work = work;
        _nextRest = state.NextRest;
        _workPassed = state.WorkPassed;
        _held.AddRange(state.Held);
        if (state.Run is { } run)
        {
            _rest = run.Rest;
            _evidence = run.Evidence;
            _blockSize = run.BlockSize;
            _lastPrechargePa = run.LastPrechargePa;
            _blocks.AddRange(run.Blocks);
        }
    }

    public FinderState State => new(
        _blocks.Count == 0 ? null : new RestRun(_rest, _evidence, _blockSize, _lastPrechargePa, [.. _blocks]),
        _nextRest, _workPassed, [.. _held]);

    /// <summary>Ends the run that is going on; gives it.</summary>
    public RestRun? Close() => End();

    /// <summary>Says that a rest of this number is on record: later ones get higher numbers.</summary>
    public void Know(long rest) => _nextRest = Math.Max(_nextRest, rest + 1);

    /// <summary>Takes a sample in; gives the run that it ended, if it did.</summary>
    public RestRun? Accept(GasSideSample sample)
    {
        RestRun? ended = null;
        if (WorkLiesBefore(sample.Instant) || GapBefore(sample.Instant))
        {
            ended = End();
        }

        if (EvidenceOfRest(sample) is not { } evidence)
        {
            return ended ?? End();
        }

        double prechargePa = PrechargePa(sample);
        RestBlock one = new(1, sample.Instant, sample.Instant, sample.PressurePa, sample.TemperatureK, prechargePa);
        if (_blocks.Count > 0 && _evidence == evidence && evidence != WindowEvidence.RestingPlateau)
        {
            TimeSpan longest = sample.FromContact ? LongestHoldByContact : LongestHoldByPressure;
            if (_held.Count > 0 && (sample.ReleaseToldAt >= _held[^1].Last || sample.Instant - _held[0].First > longest))
            {
                BelieveHeld();
            }

            if (sample.ReleaseToldAt < sample.Instant && (_held.Count > 0 || prechargePa - _lastPrechargePa > GreatestStepPa))
            {
                _held.Add(one);
                if (_held.Count == MostHeld)
                {
                    BelieveHeld();
                }

                return ended;
            }
        }

        bool goesOn = _blocks.Count > 0 && _evidence == evidence
            && (evidence != WindowEvidence.RestingPlateau || Math.Abs(prechargePa - _lastPrechargePa) <= GreatestStepPa);
        if (!goesOn)
        {
            ended ??= End();
            _rest = _nextRest++;
        }
        else if (sample.Instant - _blocks[0].First >= LongestRun)
        {
            ended ??= End();
        }

        _evidence = evidence;
        Append(one);
        return ended;
    }

    private double GreatestStepPa => (GreatestStep * _lastPrechargePa) + _graininessPa;

    private void BelieveHeld()
    {
        foreach (RestBlock held in _held)
        {
            Append(held);
        }

        _held.Clear();
    }

    private WindowEvidence? EvidenceOfRest(GasSideSample sample) => sample.FluidReleased switch
    {
        true => sample.FromContact ? WindowEvidence.Contact : WindowEvidence.FluidPressure,
        false => null,
        null => (_ceilingPa is { } ceiling ? sample.PressurePa < ceiling : PrechargePa(sample) <= _highestPrechargePa) ? WindowEvidence.RestingPlateau : null,
    };

    private double PrechargePa(GasSideSample sample) => _correction.Correct(sample.PressurePa, sample.TemperatureK).PressureAtReferencePa;

    private bool WorkLiesBefore(DateTimeOffset instant)
    {
        bool passed = false;
        while (_workPassed < _work.Count && _work[_workPassed].At <= instant)
        {
            _workPassed++;
            passed = true;
        }

        return passed;
    }

    private bool GapBefore(DateTimeOffset instant) =>
        _blocks.Count > 0 && instant - (_held.Count > 0 ? _held[^1] : _blocks[^1]).Last > LongestGap;

    private void Append(RestBlock sample)
    {
        _lastPrechargePa = sample.PrechargeSumPa;
        if (_blocks.Count > 0 && _blocks[^1].Count < _blockSize)
        {
            _blocks[^1] = _blocks[^1].Join(sample);
            return;
        }

        if (_blocks.Count == MostBlocks)
        {
            for (int i = 0; i < MostBlocks / 2; i++)
            {
                _blocks[i] = _blocks[2 * i].Join(_blocks[(2 * i) + 1]);
            }

            _blocks.RemoveRange(MostBlocks / 2, MostBlocks / 2);
            _blockSize *= 2;
        }

        _blocks.Add(sample);
    }

    private RestRun? End()
    {
        _held.Clear();
        if (_blocks.Count == 0)
        {
            return null;
        }

        var run = new RestRun(_rest, _evidence, _blockSize, _lastPrechargePa, [.. _blocks]);
        _blocks.Clear();
        _blockSize = 1;
        return run;
    }
}
