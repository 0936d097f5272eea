using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Normalisation;

/// <summary>
/// Joins each gas pressure with the newest temperature and fluid-side signal at or before it, and makes pressures
/// absolute. Signals that are reported on change hold for a while; one that has fallen silent does not count.
/// </summary>
internal sealed class SampleJoiner
{
    /// <summary>Fluid side below this share of the nominal precharge: the separator rests on the fluid port, the gas fills its whole volume.</summary>
    private const double ReleasedShareOfNominal = 0.1;

    private const double LeastPa = 1;

    private readonly VesselSpecification _vessel;
    private readonly double _ambientPa;
    private readonly double _releasedGaugePa;
    private JoinerState _state;

    public SampleJoiner(VesselSpecification vessel, JoinerState state)
    {
        _vessel = vessel;
        _ambientPa = vessel.Ambient.Pascals;
        _releasedGaugePa = ReleasedShareOfNominal * vessel.NominalPrecharge.Pascals;
        _state = state;
    }

    public JoinerState State => _state;

    /// <summary>Takes a reading in; gives a sample when it was a gas pressure with a temperature at hand.</summary>
    public GasSideSample? Accept(Reading reading)
    {
        switch (reading.Signal)
        {
            case Signal.GasTemperature:
                _state = _state with { TemperatureK = reading.Value, TemperatureAt = reading.Instant };
                return null;
            case Signal.FluidPressure:
                _state = _state with { FluidGaugePa = Gauge(reading.Value, _vessel.FluidPressureSensor), FluidAt = reading.Instant };
                return null;
            case Signal.Depressurised:
                _state = _state with { ContactClosed = reading.Value >= 0.5, ContactAt = reading.Instant };
                return null;
            case Signal.GasPressure:
                return reading.Instant - _state.TemperatureAt <= SignalHold.Analog ? Join(reading) : null;
            default:
                throw new ArgumentOutOfRangeException(nameof(reading), reading.Signal, "Not a signal of a vessel.");
        }
    }

    private GasSideSample Join(Reading pressure)
    {
        bool? released = null;
        bool fromContact = false;
        DateTimeOffset told = pressure.Instant;
        if (_vessel.FluidPressureSensor is not null && pressure.Instant - _state.FluidAt <= SignalHold.Analog)
        {
            released = _state.FluidGaugePa <= _releasedGaugePa;
            told = _state.FluidAt;
        }
        else if (_vessel.HasDepressurisedContact && pressure.Instant - _state.ContactAt <= SignalHold.Contact)
        {
            released = _state.ContactClosed;
            fromContact = true;
            told = _state.ContactAt;
        }

        return new GasSideSample(pressure.Instant, Absolute(pressure.Value), _state.TemperatureK, released, fromContact) { ReleaseToldAt = told };
    }

    /// <summary>
    /// A vessel that has run empty holds the pressure around it, and a gauge sensor whose zero errs by more than that must not make it
    /// unseen: it reads as next to nothing.
    /// </summary>
    private double Absolute(double value) =>
        _vessel.GasPressureSensor.Kind == PressureKind.Gauge ? Math.Max(value + _ambientPa, LeastPa) : value;

    private double Gauge(double value, PressureSensor? sensor) =>
        sensor?.Kind == PressureKind.Absolute ? value - _ambientPa : value;
}
