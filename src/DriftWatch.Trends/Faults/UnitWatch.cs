using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Faults;

/// <summary>
/// Watches for a gas pressure that comes in another unit, or as gauge for absolute. Three things tell a unit: a working pressure
/// that has not come for a stretch of readings, a fluid side under load that the gas follows by a known ratio, and a window that
/// stands in a known ratio to the level before it. A step of one pressure of the air tells of the kind.
/// </summary>
internal sealed class UnitWatch(VesselSpecification vessel, UnitWatchState state)
{
    /// <summary>Readings in which the machine must have worked.</summary>
    private const int Stretch = 500;

    private const int FewestApart = 5;
    private const int ApartMemory = 50;

    /// <summary>No drift and no swap puts gas and fluid side this far apart.</summary>
    private const double ApartRatio = 2;

    /// <summary>Flow and delay between the two sensors leave their mean ratio this uncertain.</summary>
    private const double LoadTolerance = 0.05;

    private const double WindowTolerance = 0.03;

    /// <summary>Windows after one that read too low are of the same while they stand within this share of it.</summary>
    private const double StaysWithin = 0.2;

    /// <summary>Below this many pressures of the air, a low reading may be what is left in an empty vessel, whatever its ratio.</summary>
    private const double LeastInAir = 3;

    private const int FewestAirSteps = 2;
    private const double AirTolerance = 0.15;
    private const int AirLookBack = 5;
    private const int FewestBeforeAirStep = 3;
    private static readonly TimeSpan LongestToAirStep = TimeSpan.FromDays(14);

    /// <summary>From then on the new level is history, whatever made it.</summary>
    private static readonly TimeSpan AirStepToldFor = TimeSpan.FromDays(30);

    /// <summary>1 bar is 14.5038 psi; the ratios of the units that pressures come in.</summary>
    private static readonly (double Ratio, string Words)[] Ratios =
    [
        (6.89476, "6.9 (kPa and psi)"), (10, "10 (bar and MPa)"), (14.5038, "14.5 (psi and bar)"),
        (100, "100 (bar and kPa)"), (145.038, "145 (psi and MPa)"), (1000, "1000 (MPa and kPa)"),
    ];

    private readonly FastIsochoricCorrection _correction = Corrections.For(vessel.ReferenceTemperature.Kelvins);
    private readonly double _ambientPa = vessel.Ambient.Pascals;
    private readonly double _zeroPa = vessel.GasPressureSensor.Kind == PressureKind.Gauge ? vessel.Ambient.Pascals : 0;
    private UnitWatchState _state = state;

    public UnitWatchState State => _state;

    /// <summary>Takes a measured gas pressure in, Pa as read.</summary>
    public void Accept(double value)
    {
        _state = _state.Readings == Stretch
            ? _state with { HighestBeforePa = _state.HighestPa, HighestPa = value, Readings = 1 }
            : _state with { HighestPa = Math.Max(_state.HighestPa, value), Readings = _state.Readings + 1 };
        if (_state.Factor > 1 ? value >= _state.LevelPa / 2 : _state.Factor > 0 && value <= 2 * _state.LevelPa)
        {
            // The same sensor shows what it could not if its unit were wrong; or the unit was mended.
            _state = _state with { Factor = 0, Disproved = true };
        }
    }

    /// <summary>Takes in what gas and fluid side show at one moment under load, Pa gauge.</summary>
    public void AcceptLoad(DateTimeOffset instant, double gasGaugePa, double fluidGaugePa)
    {
        double log = Math.Log((fluidGaugePa + _ambientPa - _zeroPa) / Math.Max(1, gasGaugePa + _ambientPa - _zeroPa));
        int side = Math.Abs(log) > Math.Log(ApartRatio) ? Math.Sign(log) : 0;
        if (side == 0)
        {
            _state = _state with { Apart = 0, ApartLog = 0 };
            return;
        }

        bool goesOn = Math.Sign(_state.Apart) == side;
        int count = goesOn ? Math.Min(Math.Abs(_state.Apart) + 1, ApartMemory) : 1;
        _state = _state with
        {
            Apart = side * count,
            ApartLog = goesOn ? _state.ApartLog + ((log - _state.ApartLog) / count) : log,
            ApartSince = goesOn ? _state.ApartSince : instant,
        };
    }

    /// <summary>Takes a window in that holds by its own readings, before it becomes a point.</summary>
    /// <param name="window">The window.</param>
    /// <param name="points">Trusted windows before it with no work on record since, in order of time.</param>
    public void Accept(PrechargeWindow window, IReadOnlyList<PrechargeWindow> points)
    {
        double factor = points.Count == 0 ? 0 : FactorOf(window, points[^1]);
        _state = factor == 0
            ? StaysLow(window) ? _state : _state with { Factor = 0, Disproved = false }
            : _state.Disproved ? _state
            : _state with
            {
                Factor = factor,
                LevelPa = points[^1].PrechargePa - _zeroPa,
                Since = _state.Factor == 0 ? window.Start : _state.Since,
            };
        AcceptAirStep(window, points);
    }

    /// <summary>Whether a window still stands where the one did that read too low: such windows stay points, and their level is the present one.</summary>
    private bool StaysLow(PrechargeWindow window) =>
        _state.Factor > 1 && Math.Abs(((window.PrechargePa - _zeroPa) * _state.Factor / _state.LevelPa) - 1) < StaysWithin;

    /// <summary>Adds what is suspected now.</summary>
    /// <param name="faults">The faults so far.</param>
    /// <param name="pressure">The gas pressure by itself.</param>
    /// <param name="first">First reading of the vessel, UTC.</param>
    public void Add(List<SensorFault> faults, SignalWatch pressure, DateTimeOffset first)
    {
        SensorFault? unit = OfLoad() ?? OfWindows() ?? OfWorkingPressure(pressure, first);
        if (unit is not null)
        {
            faults.Add(unit);
        }

        if (Math.Abs(_state.AirSteps) >= FewestAirSteps && pressure.State.Last - _state.AirSince < AirStepToldFor)
        {
            bool up = _state.AirSteps > 0;
            string other = vessel.GasPressureSensor.Kind == PressureKind.Gauge ? (up ? "an absolute sensor in its place" : "a sensor that was absolute before") : (up ? "a sensor that was gauge before" : "a gauge sensor in its place");
            faults.Add(new SensorFault(Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.GaugeOrAbsolute, _state.AirSince, FormattableString.Invariant(
                $"On {_state.AirSince.UtcDateTime:yyyy-MM-dd} the windows stepped {(up ? "up" : "down")} by {Math.Abs(_state.AirStepPa) / 1e5:0.00} bar, just the pressure of the air: {other} looks so, and so does {(up ? "a charge" : "a loss")} of that size. Check whether the gas pressure sensor is gauge or absolute.")));
        }
    }

    /// <summary>
    /// What reads too low may be a vessel that has lost its gas: its windows stay, and both are told. What reads too high is kept out,
    /// for it would hide a loss.
    /// </summary>
    private static Ne107Status StatusOf(bool low) => low ? Ne107Status.MaintenanceRequired : Ne107Status.FunctionCheck;

    private SensorFault? OfLoad()
    {
        if (Math.Abs(_state.Apart) < FewestApart)
        {
            return null;
        }

        bool low = _state.Apart > 0;
        double ratio = Math.Exp(Math.Abs(_state.ApartLog));
        double newestPa = 1.1 * vessel.NominalPrecharge.Pascals / ratio;
        return RatioNear(ratio, LoadTolerance) is { } known && (!low || newestPa > LeastInAir * _ambientPa)
            ? new SensorFault(Signal.GasPressure, StatusOf(low), FaultKind.UnitMixUp, _state.ApartSince, FormattableString.Invariant(
                $"Under load the gas pressure has stood {ratio:0.0} times {(low ? "below" : "above")} the fluid-side pressure since {_state.ApartSince.UtcDateTime:yyyy-MM-dd HH:mm}; a unit mixed up makes {known}. Check the units of both signals against the register{(low ? "; if they are right the gas is gone and the separator on its stop" : "")}."))
            : new SensorFault(Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Disagreement, _state.ApartSince, FormattableString.Invariant(
                $"Under load the gas pressure has stood {ratio:0.0} times {(low ? "below" : "above")} the fluid-side pressure since {_state.ApartSince.UtcDateTime:yyyy-MM-dd HH:mm}: {(low ? "the gas is gone and the separator on its stop" : "the gas holds more than the fluid can move")}, the vessel is shut off from the fluid-side sensor, or one of the sensors is wrong."));
    }

    private SensorFault? OfWindows()
    {
        if (_state.Factor == 0)
        {
            return null;
        }

        bool low = _state.Factor > 1;
        string words = RatioNear(low ? _state.Factor : 1 / _state.Factor, WindowTolerance)!;
        return new SensorFault(Signal.GasPressure, StatusOf(low), FaultKind.UnitMixUp, _state.Since, FormattableString.Invariant(
            $"Since {_state.Since.UtcDateTime:yyyy-MM-dd HH:mm} the gas pressure at rest reads {words} times {(low ? "less" : "more")} than the {_state.LevelPa / 1e5:0.0} bar before. Check the unit of the signal against the register; if the unit is right the vessel has {(low ? "lost" : "gained")} that gas."));
    }

    private SensorFault? OfWorkingPressure(SignalWatch pressure, DateTimeOffset first)
    {
        // Where they are not registered, common practice: p1 at least 1.1 and p2 at most 4 times the precharge.
        double lowest = vessel.LowestWorkingPressure?.Pascals ?? (1.1 * vessel.NominalPrecharge.Pascals);
        double most = 1.3 * (vessel.HighestWorkingPressure?.Pascals ?? (4 * vessel.NominalPrecharge.Pascals));
        double highest = double.IsNaN(_state.HighestBeforePa) ? _state.HighestPa : Math.Max(_state.HighestPa, _state.HighestBeforePa);
        bool enough = _state.Readings == Stretch || !double.IsNaN(_state.HighestBeforePa);

        // Bar for psi or MPa; further apart it is out of range, or next to nothing.
        foreach ((double ratio, string words) in Ratios.Where(known => known.Ratio is 10 or 14.5038).OrderByDescending(known => known.Ratio))
        {
            if (enough && highest < vessel.LowerLimit.Pascals / 2 && highest * ratio >= lowest && highest * ratio <= most)
            {
                return new SensorFault(Signal.GasPressure, StatusOf(low: true), FaultKind.UnitMixUp, first, FormattableString.Invariant(
                    $"In its last {Stretch} readings and more the gas pressure never rose above {highest / 1e5:0.0} bar; {words} times that would fit the working pressures. Check the unit of the signal against the register; if the unit is right the vessel has lost its gas or stands still."));
            }

            double less = pressure.State.Value / ratio;
            if (pressure.OutOfRange && pressure.State.Value > most / 1.3 && less >= vessel.LowerLimit.Pascals / 2 && less <= most)
            {
                return new SensorFault(Signal.GasPressure, Ne107Status.FunctionCheck, FaultKind.UnitMixUp, pressure.State.LoopSince, FormattableString.Invariant(
                    $"The gas pressure reads {pressure.State.Value / 1e5:0} bar; {words} times less would fit the vessel. Check the unit of the signal against the register."));
            }
        }

        return null;
    }

    /// <summary>
    /// The known ratio in which a window outside the limits stands to the level before it; 0 for none. It is the reading that is
    /// out by the ratio, so it is put right and brought to the reference temperature.
    /// </summary>
    private double FactorOf(PrechargeWindow window, PrechargeWindow before)
    {
        double readPa = window.MeanPressurePa - _zeroPa;
        double gaugePa = window.PrechargePa - _ambientPa;
        bool low = window.PrechargePa < before.PrechargePa;
        if (low ? readPa < LeastInAir * _ambientPa || gaugePa >= vessel.LowerLimit.Pascals : gaugePa <= vessel.UpperLimit.Pascals)
        {
            return 0;
        }

        foreach ((double ratio, _) in Ratios)
        {
            double factor = low ? ratio : 1 / ratio;
            double putRightPa = (readPa * factor) + _zeroPa;
            if (NitrogenRange.Holds(window.MeanTemperatureK, putRightPa)
                && Math.Abs(_correction.Correct(putRightPa, window.MeanTemperatureK).PressureAtReferencePa - before.PrechargePa) <= WindowTolerance * before.PrechargePa)
            {
                return factor;
            }
        }

        return 0;
    }

    private void AcceptAirStep(PrechargeWindow window, IReadOnlyList<PrechargeWindow> points)
    {
        int side = AirSide(window, points, out double stepPa);
        if (side != 0)
        {
            bool goesOn = Math.Sign(_state.AirSteps) == side;
            _state = _state with
            {
                AirSteps = side * (goesOn ? Math.Min(Math.Abs(_state.AirSteps) + 1, FewestAirSteps) : 1),
                AirStepPa = stepPa,
                AirLevelPa = window.PrechargePa - stepPa,
                AirSince = goesOn ? _state.AirSince : window.Start,
            };
        }
        else if (Math.Abs(_state.AirSteps) < FewestAirSteps || Math.Abs(window.PrechargePa - _state.AirLevelPa) < _ambientPa / 2)
        {
            _state = _state with { AirSteps = 0 };
        }
    }

    /// <summary>
    /// Whether a window stands one pressure of the air above (1) or below (-1) the few before it, which are steady and recent. With
    /// the gas side alone trapped fluid makes rises of any size: there only a fall is looked at.
    /// </summary>
    private int AirSide(PrechargeWindow window, IReadOnlyList<PrechargeWindow> points, out double stepPa)
    {
        stepPa = 0;
        int count = Math.Min(AirLookBack, points.Count);
        if (count < FewestBeforeAirStep || window.Start - points[^1].End > LongestToAirStep || window.RandomUncertaintyPa > AirTolerance * _ambientPa)
        {
            return 0;
        }

        double level = 0;
        for (int i = points.Count - count; i < points.Count; i++)
        {
            level += points[i].PrechargePa / count;
        }

        for (int i = points.Count - count; i < points.Count; i++)
        {
            if (Math.Abs(points[i].PrechargePa - level) > _ambientPa / 4)
            {
                return 0;
            }
        }

        stepPa = window.PrechargePa - level;
        double airPa = _ambientPa * window.PrechargePa / window.MeanPressurePa;
        bool air = Math.Abs(Math.Abs(stepPa) - airPa) <= AirTolerance * _ambientPa;
        return !air || (stepPa > 0 && window.Evidence == WindowEvidence.RestingPlateau) ? 0 : Math.Sign(stepPa);
    }

    private static string? RatioNear(double ratio, double tolerance) =>
        Ratios.Where(known => Math.Abs((ratio / known.Ratio) - 1) <= tolerance).Select(known => known.Words).FirstOrDefault();
}
