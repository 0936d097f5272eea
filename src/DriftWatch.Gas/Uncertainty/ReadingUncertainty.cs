using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Uncertainty;

/// <summary>
/// Uncertainty budget of one normalised reading: sensor errors carried through the real gas by the sensitivities of
/// <see cref="IsochoricSensitivity"/>. Inputs without uncertainty give no line. For a point made of several readings see
/// <see cref="UncertaintyBudget.OfMean"/>.
/// </summary>
public static class ReadingUncertainty
{
    /// <summary>Budget, in Pa, of the absolute pressure at the reference temperature from a gauge transducer.</summary>
    /// <param name="reading">Gauge pressure read.</param>
    /// <param name="ambient">Ambient pressure added to it.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <param name="temperatureRateKPerS">Rate at which the temperature read changes, K/s; the lag counts by it.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="model">What is known of the sensors.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    /// <exception cref="ArgumentException">A rate that is no finite number.</exception>
    public static UncertaintyBudget OfPressureAtReference(
        GaugePressure reading,
        AbsolutePressure ambient,
        GasTemperature temperature,
        double temperatureRateKPerS,
        GasTemperature reference,
        ReadingUncertaintyModel model)
    {
        ArgumentNullException.ThrowIfNull(model);
        AbsolutePressure absolute = reading.ToAbsolute(ambient);
        return AtReference(
            absolute, reading.Pascals, temperature, temperatureRateKPerS, reference, model, Ambient(model));
    }

    /// <summary>Budget, in Pa, of the absolute pressure at the reference temperature from an absolute transducer: no barometer in it.</summary>
    /// <param name="reading">Absolute pressure read, 0 to 70e6 Pa.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <param name="temperatureRateKPerS">Rate at which the temperature read changes, K/s; the lag counts by it.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="model">What is known of the sensors.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    /// <exception cref="ArgumentException">A rate that is no finite number.</exception>
    public static UncertaintyBudget OfPressureAtReference(
        AbsolutePressure reading,
        GasTemperature temperature,
        double temperatureRateKPerS,
        GasTemperature reference,
        ReadingUncertaintyModel model)
    {
        ArgumentNullException.ThrowIfNull(model);
        return AtReference(reading, reading.Pascals, temperature, temperatureRateKPerS, reference, model, []);
    }

    /// <summary>Budget, in mol/m3, of the molar density from a gauge transducer.</summary>
    /// <param name="reading">Gauge pressure read.</param>
    /// <param name="ambient">Ambient pressure added to it.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <param name="temperatureRateKPerS">Rate at which the temperature read changes, K/s; the lag counts by it.</param>
    /// <param name="model">What is known of the sensors.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    /// <exception cref="ArgumentException">A rate that is no finite number.</exception>
    public static UncertaintyBudget OfMolarDensity(
        GaugePressure reading,
        AbsolutePressure ambient,
        GasTemperature temperature,
        double temperatureRateKPerS,
        ReadingUncertaintyModel model)
    {
        ArgumentNullException.ThrowIfNull(model);
        return OfDensity(reading.ToAbsolute(ambient), reading.Pascals, temperature, temperatureRateKPerS, model, Ambient(model));
    }

    /// <summary>Budget, in mol/m3, of the molar density from an absolute transducer.</summary>
    /// <param name="reading">Absolute pressure read, 0 to 70e6 Pa.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <param name="temperatureRateKPerS">Rate at which the temperature read changes, K/s; the lag counts by it.</param>
    /// <param name="model">What is known of the sensors.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    /// <exception cref="ArgumentException">A rate that is no finite number.</exception>
    public static UncertaintyBudget OfMolarDensity(
        AbsolutePressure reading, GasTemperature temperature, double temperatureRateKPerS, ReadingUncertaintyModel model)
    {
        ArgumentNullException.ThrowIfNull(model);
        return OfDensity(reading, reading.Pascals, temperature, temperatureRateKPerS, model, []);
    }

    private static UncertaintyBudget AtReference(
        AbsolutePressure absolute,
        double indicatedPa,
        GasTemperature temperature,
        double temperatureRateKPerS,
        GasTemperature reference,
        ReadingUncertaintyModel model,
        IReadOnlyList<Input> ambient)
    {
        double estimate = IsochoricCorrection.PressureAtReferencePa(absolute.Pascals, temperature.Kelvins, reference.Kelvins);
        IsochoricSensitivity at = IsochoricSensitivity.At(absolute.Pascals, temperature.Kelvins, reference.Kelvins);
        return Budget(
            estimate, "Pa", at.AtReferenceByPressurePaPerPa, at.AtReferenceByTemperaturePaPerK, indicatedPa, temperatureRateKPerS, model, ambient);
    }

    private static UncertaintyBudget OfDensity(
        AbsolutePressure absolute,
        double indicatedPa,
        GasTemperature temperature,
        double temperatureRateKPerS,
        ReadingUncertaintyModel model,
        IReadOnlyList<Input> ambient)
    {
        double estimate = NitrogenEquation.MolarDensityMolPerM3(temperature.Kelvins, absolute.Pascals);
        IsochoricSensitivity at = IsochoricSensitivity.At(absolute.Pascals, temperature.Kelvins, temperature.Kelvins);
        return Budget(
            estimate, "mol/m3", at.DensityByPressureMolPerM3PerPa, at.DensityByTemperatureMolPerM3PerK, indicatedPa, temperatureRateKPerS,
            model, ambient);
    }

    private static UncertaintyBudget Budget(
        double estimate,
        string unit,
        double byPressure,
        double byTemperature,
        double indicatedPa,
        double temperatureRateKPerS,
        ReadingUncertaintyModel model,
        IReadOnlyList<Input> ambient)
    {
        Input[] pressure =
        [
            new("Pressure sensor offset", 1, model.PressureOffsetPa, "Pa", Sharing.Shared),
            new("Pressure sensor gain", indicatedPa, model.PressureGainFraction, "1", Sharing.Shared),
            new("Pressure noise", 1, model.PressureNoisePa, "Pa", Sharing.Random),
            new("Pressure resolution", 1, model.PressureResolutionPa, "Pa", Sharing.Random),
            .. ambient,
        ];
        Input[] temperature =
        [
            new("Temperature sensor offset", 1, model.TemperatureOffsetK, "K", Sharing.Shared),
            new("Temperature noise", 1, model.TemperatureNoiseK, "K", Sharing.Random),
            new("Temperature resolution", 1, model.TemperatureResolutionK, "K", Sharing.Random),
            new("Temperature sensor placement", 1, model.TemperaturePlacementK, "K", Sharing.Shared),
            new("Temperature sensor placement, changing", 1, model.TemperaturePlacementChangeK, "K", Sharing.Random),
            new("Temperature sensor lag", temperatureRateKPerS, model.TemperatureLagS, "s", Sharing.Random),
        ];
        IEnumerable<UncertaintyContributor> lines =
        [
            .. pressure.Select(input => input.Through(byPressure)),
            .. temperature.Select(input => input.Through(byTemperature)),
            new UncertaintyContributor("Equation of state", estimate, model.EquationOfStateFraction, "1", Sharing.Shared),
        ];
        return new UncertaintyBudget(estimate, unit, [.. lines.Where(line => line.StandardUncertaintyOfResult > 0)]);
    }

    private static Input[] Ambient(ReadingUncertaintyModel model) =>
    [
        new("Barometric pressure", 1, model.BarometricPressurePa, "Pa", Sharing.Shared),
        new("Weather", 1, model.WeatherPa, "Pa", Sharing.Random),
    ];

    /// <summary>An error of the pressure or temperature read: how much of it one unit of the input makes.</summary>
    private readonly record struct Input(string Name, double Factor, InputUncertainty Uncertainty, string Unit, Sharing Sharing)
    {
        public UncertaintyContributor Through(double sensitivity) => new(Name, Factor * sensitivity, Uncertainty, Unit, Sharing);
    }
}
