using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Normalisation;

/// <summary>
/// Joins each gas pressure with the newest temperature and fluid-side signal at or before it, and makes pressures
/// absolute. Signals that are reported on change hold for a while; one that has fallen silent does not count.
/// </summary>
internal sealed class SampleJoiner
{
    /// <summary>How long a temperature or fluid pressure stands for the moments after it.</summary>
    private static readonly TimeSpan AnalogHold = TimeSpan.FromMinutes(30);

    /// <summary>How long a contact stands: contacts are commonly reported on change, with a daily refresh.</summary>
    private static readonly TimeSpan ContactHold = TimeSpan.FromHours(25);

    /// <summary>Fluid side below this share of the nominal precharge: the separator rests on the fluid port, the gas fills its whole volume.</summary>
    private const double ReleasedShareOfNominal = 0.1;

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
                return reading.Instant - _state.TemperatureAt <= AnalogHold ? Join(reading) : null;
            default:
                throw new ArgumentOutOfRangeException(nameof(reading), reading.Signal, "Not a signal of a vessel.");
        }
    }

    private GasSideSample Join(Reading pressure)
    {
        bool? released = null;
        bool fromContact = false;
        if (_vessel.FluidPressureSensor is not null && pressure.Instant - _state.FluidAt <= AnalogHold)
        {
            released = _state.FluidGaugePa <= _releasedGaugePa;
        }
        else if (_vessel.HasDepressurisedContact && pressure.Instant - _state.ContactAt <= ContactHold)
        {
            released = _state.ContactClosed;
            fromContact = true;
        }

        return new GasSideSample(pressure.Instant, Absolute(pressure.Value), _state.TemperatureK, released, fromContact);
    }

    private double Absolute(double value) =>
        _vessel.GasPressureSensor.Kind == PressureKind.Gauge ? value + _ambientPa : value;

    private double Gauge(double value, PressureSensor? sensor) =>
        sensor?.Kind == PressureKind.Absolute ? value - _ambientPa : value;
}
