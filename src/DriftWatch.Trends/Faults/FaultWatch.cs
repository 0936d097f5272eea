using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Faults;

/// <summary>
/// Watches the signals of a vessel, each by itself and against the others. It says what it sees and corrects nothing: a unit or
/// a kind that was mixed up is for a person to mend.
/// </summary>
internal sealed class FaultWatch
{
    private const int FewestStanding = 20;
    private static readonly TimeSpan PressureStandsAfter = TimeSpan.FromHours(24);
    private static readonly TimeSpan FluidStandsAfter = TimeSpan.FromHours(6);

    /// <summary>A gas pressure must move by this share of its span before standing still proves a fault.</summary>
    private const double LeastMovementOfSpan = 0.002;
    private const double LeastMovementK = 3;

    /// <summary>
    /// Gas pressure that goes to and fro by this share of the nominal while the fluid pressure stands: the machine works. A fall alone is
    /// a loss, however deep, and a rise a charge.
    /// </summary>
    private const double WorkShareOfNominal = 0.3;

    /// <summary>A gas swings so much from one reading to the next only when fluid moves it.</summary>
    private const double SwingShare = 0.05;
    private const int SwingsForFault = 4;

    private const int DifferenceMemory = 200;
    private const int FewestDifferences = 100;
    private const double DisagreementUncertainties = 5;

    private const double NoiseShareOfSpan = 0.005;
    private const double NoiseK = 1;
    private const int NoisyRestsForFault = 3;

    private static readonly TimeSpan SilentAfter = TimeSpan.FromHours(3);
    private const double SilentInTypical = 20;

    /// <summary>Two runs of a clock over one stretch of time are told of for so long.</summary>
    private static readonly TimeSpan ClockToldFor = TimeSpan.FromDays(7);

    private readonly VesselSpecification _vessel;
    private readonly double _ambientPa;
    private readonly SignalWatch _pressure;
    private readonly SignalWatch _temperature;
    private readonly SignalWatch? _fluid;
    private readonly UnitWatch _unit;
    private FaultState _rest;
    private double _before;
    private double _difference;
    private int _differences;
    private int _swings;
    private DateTimeOffset _swingsSince;

    public FaultWatch(VesselSpecification vessel, FaultState state)
    {
        _vessel = vessel;
        _ambientPa = vessel.Ambient.Pascals;
        _rest = state;
        _pressure = new SignalWatch(LoopOf(vessel.GasPressureSensor), state.Pressure);
        _temperature = new SignalWatch(new CurrentLoop(vessel.GasTemperatureSensor.RangeLowK, vessel.GasTemperatureSensor.RangeHighK), state.Temperature);
        _fluid = vessel.FluidPressureSensor is { } fluid ? new SignalWatch(LoopOf(fluid), state.Fluid ?? SignalWatchState.Start) : null;
        _before = state.Pressure.Value;
        _unit = new UnitWatch(vessel, state.Unit);
        (_difference, _differences) = (state.DifferencePa, state.Differences);
        (_swings, _swingsSince) = (state.Swings, state.SwingsSince);
    }

    public FaultState State => _rest with
    {
        Pressure = _pressure.State,
        Temperature = _temperature.State,
        Fluid = _fluid?.State is { LoopRun: > 0 } fluid ? fluid : null,
        Unit = _unit.State,
        DifferencePa = _difference,
        Differences = _differences,
        Swings = _swings,
        SwingsSince = _swingsSince,
    };

    /// <summary>Takes a reading in; false when it is no measured value and must not be used as one.</summary>
    public bool Accept(Reading reading)
    {
        switch (reading.Signal)
        {
            case Signal.GasTemperature:
                if (!_temperature.Accept(reading.Instant, reading.Value))
                {
                    return false;
                }

                _pressure.AcceptOther(reading.Value, double.PositiveInfinity);
                return true;
            case Signal.FluidPressure:
                return _fluid?.Accept(reading.Instant, reading.Value) ?? true;
            case Signal.GasPressure:
                _before = _pressure.State.Value;
                if (!_pressure.Accept(reading.Instant, reading.Value))
                {
                    return false;
                }

                _fluid?.AcceptOther(reading.Value, WorkShareOfNominal * _vessel.NominalPrecharge.Pascals);
                _unit.Accept(reading.Value);
                return true;
            default:
                return true;
        }
    }

    /// <summary>Takes a joined sample in.</summary>
    public void Accept(GasSideSample sample)
    {
        if (sample.FluidReleased is not true)
        {
            _swings = -1;
            Compare(sample);
            return;
        }

        double swing = Math.Abs(_pressure.State.Value - _before);
        if (_swings < 0 || double.IsNaN(swing))
        {
            _swings = 0;
        }
        else if (swing > SwingShare * sample.PressurePa && sample.PressurePa > 2 * _ambientPa)
        {
            _swingsSince = _swings == 0 ? sample.Instant : _swingsSince;
            _swings = Math.Min(_swings + 1, 2 * SwingsForFault);
        }
        else
        {
            _swings /= 2;
        }
    }

    /// <summary>Takes in a rest that ended and the window it showed.</summary>
    /// <param name="run">The rest.</param>
    /// <param name="window">Its window; null for none.</param>
    /// <param name="points">Trusted windows before it with no work on record since, in order of time.</param>
    public void Accept(RestRun run, PrechargeWindow? window, IReadOnlyList<PrechargeWindow> points)
    {
        if (run.BlockSize <= 4 && run.Blocks.Count >= 6)
        {
            double root = Math.Sqrt(run.BlockSize);
            bool noisy = root * Scatter(run, block => block.MeanPressurePa) > NoiseShareOfSpan * SpanPa;
            bool shaky = root * Scatter(run, block => block.MeanTemperatureK) > NoiseK;
            bool first = _rest.NoisyRests == 0 && _rest.ShakyRests == 0;
            _rest = _rest with
            {
                NoisyRests = noisy ? Math.Min(_rest.NoisyRests + 1, NoisyRestsForFault) : 0,
                ShakyRests = shaky ? Math.Min(_rest.ShakyRests + 1, NoisyRestsForFault) : 0,
                NoisySince = first ? run.Blocks[0].First : _rest.NoisySince,
            };
        }

        if (window is { Standing: not WindowStanding.Rejected, Falls: false })
        {
            _rest = _rest with { EmptySince = ShowsAirWrongly(window) ? _rest.EmptySince ?? window.Start : null };
            _unit.Accept(window, points);
        }
    }

    /// <summary>Why a window that rests on these signals must not count; null when nothing speaks against it.</summary>
    public static string? Against(WindowEvidence evidence, IReadOnlyList<SensorFault> faults) => faults.FirstOrDefault(fault =>
        fault.Kind is FaultKind.OutOfRange or FaultKind.Stuck or FaultKind.Disagreement or FaultKind.UnitMixUp or FaultKind.GaugeOrAbsolute
        && (fault.Signal is Signal.GasPressure or Signal.GasTemperature
            || (fault.Signal == Signal.FluidPressure && evidence == WindowEvidence.FluidPressure)
            || (fault.Signal == Signal.Depressurised && evidence == WindowEvidence.Contact))
        && fault.Status is not Ne107Status.MaintenanceRequired)?.Evidence;

    /// <summary>All that is wrong now, in order of the signals.</summary>
    /// <param name="stuckTemperature">The fault of a temperature that stands still, where there is one.</param>
    /// <param name="firstReading">First reading of the vessel, UTC; null before it.</param>
    /// <param name="since">Since when these transducers are watched, UTC: what was sent before one was changed is no silence of the new one.</param>
    /// <param name="stray">Readings left out because they stand far before all others; null for none.</param>
    public IReadOnlyList<SensorFault> Faults(SensorFault? stuckTemperature, DateTimeOffset? firstReading, DateTimeOffset since, StrayReadings? stray)
    {
        if (firstReading is not { } first)
        {
            return [];
        }

        List<SensorFault> faults = stuckTemperature is null ? [] : [stuckTemperature];
        DateTimeOffset newest = Newest();
        AddOwn(faults, Signal.GasTemperature, "The gas temperature", _temperature, since, newest);
        AddOwn(faults, Signal.GasPressure, "The gas pressure", _pressure, since, newest);
        if (_fluid is not null)
        {
            AddOwn(faults, Signal.FluidPressure, "The fluid-side pressure", _fluid, since, newest);
        }

        AddStuck(faults);
        _unit.Add(faults, _pressure, first);
        AddAgainstEachOther(faults);
        AddNoise(faults);
        if (stray is not null && newest - first < ClockToldFor)
        {
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.FunctionCheck, FaultKind.Clock, stray.First, FormattableString.Invariant(
                $"Readings dated {stray.First.UtcDateTime:yyyy-MM-dd} to {stray.Last.UtcDateTime:yyyy-MM-dd} stand {(first - stray.Last).TotalDays:0} days before all others and are left out: the logger's clock was not set then, or the vessel was not in use yet.")));
        }

        return faults;
    }

    private static CurrentLoop LoopOf(PressureSensor sensor) => new(sensor.RangeLowPa, sensor.RangeHighPa);

    private double SpanPa => _vessel.GasPressureSensor.RangeHighPa - _vessel.GasPressureSensor.RangeLowPa;

    private double FluidGaugePa => _fluid!.State.Value - (_vessel.FluidPressureSensor!.Kind == PressureKind.Absolute ? _ambientPa : 0);

    private void Compare(GasSideSample sample)
    {
        double loadPa = 1.1 * _vessel.NominalPrecharge.Pascals;
        if (_fluid is null || _fluid.State.Last != sample.Instant || _fluid.State.Loop != LoopState.Measuring
            || FluidGaugePa < loadPa)
        {
            return;
        }

        double gasGaugePa = sample.PressurePa - _ambientPa;
        _unit.AcceptLoad(sample.Instant, gasGaugePa, FluidGaugePa);
        if (gasGaugePa < loadPa)
        {
            return;
        }

        double most = 0.02 * SpanPa;
        double off = gasGaugePa - FluidGaugePa - _difference;
        _differences = Math.Min(_differences + 1, DifferenceMemory);
        _difference += Math.Clamp(off, -most, most) / _differences;
    }

    private DateTimeOffset Newest()
    {
        DateTimeOffset newest = _pressure.State.Last > _temperature.State.Last ? _pressure.State.Last : _temperature.State.Last;
        return _fluid?.State.Last > newest ? _fluid.State.Last : newest;
    }

    private static void AddOwn(List<SensorFault> faults, Signal signal, string name, SignalWatch watch, DateTimeOffset since, DateTimeOffset newest)
    {
        SignalWatchState state = watch.State;
        if (watch.OutOfRange)
        {
            bool failed = state.Loop == LoopState.Failed;
            faults.Add(new SensorFault(
                signal, failed ? Ne107Status.Failure : Ne107Status.OutOfSpecification, FaultKind.OutOfRange, state.LoopSince,
                FormattableString.Invariant(
                    $"{name} has been {(failed ? "outside" : "at the end of")} its range since {state.LoopSince.UtcDateTime:yyyy-MM-dd HH:mm} ({watch.Milliamperes:0.0} mA on a loop of 4 to 20 mA): check {(failed ? "the transducer, its wiring and its registered range and unit" : "that its range fits")}.")));
        }

        DateTimeOffset last = state.LoopRun > 0 ? state.Last : since;
        double silentS = Math.Max(SilentAfter.TotalSeconds, SilentInTypical * state.TypicalS);
        if ((newest - last).TotalSeconds > silentS)
        {
            faults.Add(new SensorFault(signal, Ne107Status.Failure, FaultKind.DropOut, last, FormattableString.Invariant(
                $"{name} has sent nothing since {last.UtcDateTime:yyyy-MM-dd HH:mm} while other signals came in: check the transducer and its line.")));
        }
        else if (watch.LosesReadings)
        {
            faults.Add(new SensorFault(signal, Ne107Status.MaintenanceRequired, FaultKind.DropOut, state.Last, FormattableString.Invariant(
                $"{name} loses readings: {100 * state.Gaps:0} % of the newest intervals miss two or more. Check the line or radio link.")));
        }

        if (state.InterleavedAt > DateTimeOffset.MinValue && state.Last - state.InterleavedAt < ClockToldFor)
        {
            faults.Add(new SensorFault(signal, Ne107Status.FunctionCheck, FaultKind.Clock, state.InterleavedAt, FormattableString.Invariant(
                $"{name} came twice for the hours up to {state.InterleavedAt.UtcDateTime:yyyy-MM-dd HH:mm}, interleaved: the logger's clock was set back, or two loggers send as one.")));
        }
    }

    private void AddStuck(List<SensorFault> faults)
    {
        double absolutePa = Math.Max(_ambientPa, _pressure.State.Value + (_vessel.GasPressureSensor.Kind == PressureKind.Gauge ? _ambientPa : 0));
        double movementK = Math.Max(LeastMovementK, LeastMovementOfSpan * SpanPa / absolutePa * _vessel.ReferenceTemperature.Kelvins);
        if (_pressure.Stuck(PressureStandsAfter, FewestStanding, movementK))
        {
            DateTimeOffset since = _pressure.State.StandsSince;
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.Failure, FaultKind.Stuck, since, FormattableString.Invariant(
                $"The gas pressure has stood on one value since {since.UtcDateTime:yyyy-MM-dd HH:mm} while the gas temperature moved by {_pressure.State.OtherHigh - _pressure.State.OtherLow:0.0} K: check the pressure sensor.")));
        }

        if (_fluid is not null && _fluid.StuckAtWork(FluidStandsAfter, FewestStanding))
        {
            DateTimeOffset since = _fluid.State.StandsSince;
            faults.Add(new SensorFault(Signal.FluidPressure, Ne107Status.Failure, FaultKind.Stuck, since, FormattableString.Invariant(
                $"The fluid-side pressure has stood on one value since {since.UtcDateTime:yyyy-MM-dd HH:mm} while the gas pressure worked over {(_fluid.State.OtherHigh - _fluid.State.OtherLow) / 1e5:0} bar: check the fluid-side sensor.")));
        }
    }

    private void AddAgainstEachOther(List<SensorFault> faults)
    {
        if (_swings >= SwingsForFault)
        {
            Signal signal = _fluid is not null && _fluid.State.Last >= _pressure.State.Last - SignalHold.Analog ? Signal.FluidPressure : Signal.Depressurised;
            faults.Add(new SensorFault(signal, Ne107Status.FunctionCheck, FaultKind.Disagreement, _swingsSince, FormattableString.Invariant(
                $"The fluid side has been said to be released since {_swingsSince.UtcDateTime:yyyy-MM-dd HH:mm} while the gas pressure swings as at work: check the signal, its wiring and its clock.")));
        }

        if (_fluid is null || _differences < FewestDifferences)
        {
            return;
        }

        double uncertainty = double.Hypot(_vessel.GasPressureSensor.StandardUncertaintyPa, _vessel.FluidPressureSensor!.StandardUncertaintyPa);
        double off = Math.Abs(_difference);
        string higher = _difference > 0 ? "above" : "below";
        if (6 * uncertainty < _ambientPa && Math.Abs(off - _ambientPa) < 2 * uncertainty)
        {
            // What reads too low stays a point: a real loss must not be hidden behind a suspicion.
            Ne107Status status = _difference > 0 ? Ne107Status.FunctionCheck : Ne107Status.MaintenanceRequired;
            faults.Add(new SensorFault(Signal.GasPressure, status, FaultKind.GaugeOrAbsolute, _pressure.State.Last, FormattableString.Invariant(
                $"Under load the gas pressure lies {off / 1e5:0.00} bar {higher} the fluid-side pressure, just the pressure of the air: check which of the two sensors is gauge and which absolute.")));
        }
        else if (off > DisagreementUncertainties * uncertainty)
        {
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Disagreement, _pressure.State.Last, FormattableString.Invariant(
                $"Under load the gas pressure lies {off / 1e5:0.00} bar {higher} the fluid-side pressure, {off / uncertainty:0.0} times their uncertainty: one of the two sensors has drifted or was changed. Compare both with a gauge.")));
        }
    }

    private void AddNoise(List<SensorFault> faults)
    {
        if (_rest.NoisyRests >= NoisyRestsForFault)
        {
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Noise, _rest.NoisySince, FormattableString.Invariant(
                $"The gas pressure scatters at rest by more than {100 * NoiseShareOfSpan:0.0} % of its span since {_rest.NoisySince.UtcDateTime:yyyy-MM-dd}: check shielding, connectors and supply.")));
        }

        if (_rest.ShakyRests >= NoisyRestsForFault)
        {
            faults.Add(new SensorFault(Signal.GasTemperature, Ne107Status.MaintenanceRequired, FaultKind.Noise, _rest.NoisySince, FormattableString.Invariant(
                $"The gas temperature scatters at rest by more than {NoiseK:0} K since {_rest.NoisySince.UtcDateTime:yyyy-MM-dd}: check shielding, connectors and supply.")));
        }

        if (_rest.EmptySince is { } empty)
        {
            bool gauge = _vessel.GasPressureSensor.Kind == PressureKind.Gauge;

            // Its windows stay: a vessel that is really empty must not be hidden behind a suspicion.
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.GaugeOrAbsolute, empty, FormattableString.Invariant(
                $"At rest the sensor, registered as {(gauge ? "gauge" : "absolute")}, shows {(gauge ? "the pressure of the air" : "less than the air")}: either the gas side is empty and the sensor is {(gauge ? "absolute" : "gauge")}, or it holds next to nothing.")));
        }
    }

    /// <summary>
    /// Only an empty gas side tells gauge from absolute by the level alone: a gauge that shows one air pressure, an absolute
    /// sensor that shows none. At a charged vessel one bar more or less looks like a charge.
    /// </summary>
    private bool ShowsAirWrongly(PrechargeWindow window)
    {
        double uncertainty = Math.Max(_vessel.GasPressureSensor.StandardUncertaintyPa, 0.05 * _ambientPa);
        return _vessel.GasPressureSensor.Kind == PressureKind.Gauge
            ? 4 * uncertainty < _ambientPa && Math.Abs(window.MeanPressurePa - (2 * _ambientPa)) < 2 * uncertainty
            : window.MeanPressurePa < _ambientPa - (3 * uncertainty);
    }

    private static double Scatter(RestRun run, Func<RestBlock, double> value)
    {
        int first = Math.Max(2, run.Blocks.Count / 2);
        double sum = 0;
        for (int i = first; i < run.Blocks.Count; i++)
        {
            double bend = value(run.Blocks[i]) - (2 * value(run.Blocks[i - 1])) + value(run.Blocks[i - 2]);
            sum += bend * bend;
        }

        return Math.Sqrt(sum / (6.0 * (run.Blocks.Count - first)));
    }
}
