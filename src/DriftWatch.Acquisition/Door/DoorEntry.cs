using System.Globalization;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Acquisition.Door;

/// <summary>
/// The way in for one signal of one vessel: takes a number in its unit, or a contact, checks it against sensor and clock, and
/// gives the reading in SI, or the reason why not. Every way of acquiring passes here.
/// </summary>
public sealed class DoorEntry
{
    private readonly ReadingDoorOptions _options;
    private readonly double _low;
    private readonly double _high;

    /// <summary>Opens the way in for a signal.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="signal">A signal that the vessel has a sensor for.</param>
    /// <param name="unit">Unit of numbers that do not say theirs; empty for a contact.</param>
    /// <param name="options">What is let in.</param>
    /// <exception cref="ArgumentException">The vessel has no such sensor, or the unit does not fit the signal.</exception>
    public DoorEntry(Vessel vessel, Signal signal, string unit, ReadingDoorOptions options)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        VesselId = vessel.Id;
        Signal = signal;
        _options = options;
        VesselSpecification specification = vessel.Specification;
        (double low, double high, SourceQuantity? quantity) = signal switch
        {
            Signal.GasPressure => Of(specification.GasPressureSensor),
            Signal.FluidPressure when specification.FluidPressureSensor is { } fluid => Of(fluid),
            Signal.GasTemperature => (
                specification.GasTemperatureSensor.RangeLowK, specification.GasTemperatureSensor.RangeHighK, SourceQuantity.Temperature),
            Signal.Depressurised when specification.HasDepressurisedContact => (0, 1, (SourceQuantity?)null),
            _ => throw new ArgumentException($"Vessel {vessel.Id} has no sensor for {signal} in the register.", nameof(signal)),
        };
        _low = low;
        _high = high;
        if (quantity is not null)
        {
            Unit = SourceUnit.TryFind(unit, out SourceUnit? found) && found.Quantity == quantity
                ? found
                : throw new ArgumentException($"'{unit}' is no unit for {signal}.", nameof(unit));
        }

        static (double Low, double High, SourceQuantity? Quantity) Of(PressureSensor sensor) =>
            (sensor.RangeLowPa, sensor.RangeHighPa, SourceQuantity.Pressure);
    }

    /// <summary>The vessel.</summary>
    public string VesselId { get; }

    /// <summary>The signal.</summary>
    public Signal Signal { get; }

    /// <summary>Unit of numbers that do not say theirs; null for a contact.</summary>
    public SourceUnit? Unit { get; }

    /// <summary>Takes a number.</summary>
    /// <param name="number">The number as it came.</param>
    /// <param name="unit">Unit it came in; null for <see cref="Unit"/>.</param>
    /// <param name="instant">When it was true, UTC.</param>
    /// <param name="arrived">When it came, UTC.</param>
    /// <param name="reading">The reading in SI.</param>
    /// <returns>Null when it was let in, else the reason.</returns>
    public string? TryTake(double number, SourceUnit? unit, DateTimeOffset instant, DateTimeOffset arrived, out VesselReading reading)
    {
        double value = (unit ?? Unit)?.ToSi(number) ?? number;
        reading = new VesselReading(VesselId, new Reading(Signal, instant, value));
        if (Unit is null)
        {
            return value is 0 or 1 ? WhyNot(instant, arrived) : Text($"the contact reads {number}; allowed is 0 or 1");
        }

        double margin = _options.RangeMargin * (_high - _low);
        return value >= _low - margin && value <= _high + margin
            ? WhyNot(instant, arrived)
            : OutOfRange(number, unit ?? Unit, margin);
    }

    private string? WhyNot(DateTimeOffset instant, DateTimeOffset arrived) =>
        instant < _options.Earliest
            ? Text($"the time {instant.UtcDateTime:yyyy-MM-ddTHH:mm:ssZ} lies before {_options.Earliest.UtcDateTime:yyyy-MM-dd}; set the clock of the source")
            : instant - arrived > _options.FutureTolerance && !_options.AcceptsAnyFuture
                ? Text($"the time {instant.UtcDateTime:yyyy-MM-ddTHH:mm:ssZ} lies more than {_options.FutureTolerance.TotalHours:0.#} h after its arrival; set the clock of the source")
                : null;

    private string OutOfRange(double number, SourceUnit unit, double margin)
    {
        double low = ((_low - margin) / unit.Factor) - unit.Offset;
        double high = ((_high + margin) / unit.Factor) - unit.Offset;
        return Text($"{number} {unit.Symbol} lies outside the range of the sensor with its margin, {low:0.###} to {high:0.###} {unit.Symbol}; check unit, sensor and wiring");
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
