namespace DriftWatch.Gas.Uncertainty;

/// <summary>
/// What is known of the errors of one vessel's gas-side sensors. Each input that is left out counts as known exactly, but for the
/// equation of state.
/// </summary>
public sealed record ReadingUncertaintyModel
{
    /// <summary>
    /// Relative standard uncertainty of the equation of state: its authors state 0.02 % of density below 30 MPa (J. Phys. Chem.
    /// Ref. Data 29 (2000) 1361, from memory), taken as k = 2.
    /// </summary>
    public static InputUncertainty PublishedEquationOfState { get; } = InputUncertainty.FromExpanded(2e-4, 2);

    /// <summary>
    /// Weather around the air pressure of a place, Pa: a standard uncertainty of 9 hPa, so that the 3 % to either side of
    /// <see cref="Quantities.StandardAtmosphere"/> are its rare ends. From memory of deviations at mid latitudes.
    /// </summary>
    public static InputUncertainty CommonWeatherPa { get; } = InputUncertainty.FromStandard(900);

    /// <summary>Zero offset of the pressure transducer, Pa; shared.</summary>
    public InputUncertainty PressureOffsetPa { get; init; }

    /// <summary>Gain error of the pressure transducer, fraction of the reading; shared.</summary>
    public InputUncertainty PressureGainFraction { get; init; }

    /// <summary>Noise of one pressure reading, Pa; random.</summary>
    public InputUncertainty PressureNoisePa { get; init; }

    /// <summary>Resolution of the pressure reading, Pa; random.</summary>
    public InputUncertainty PressureResolutionPa { get; init; }

    /// <summary>Calibration error of the temperature sensor, K; shared.</summary>
    public InputUncertainty TemperatureOffsetK { get; init; }

    /// <summary>Noise of one temperature reading, K; random.</summary>
    public InputUncertainty TemperatureNoiseK { get; init; }

    /// <summary>Resolution of the temperature reading, K; random.</summary>
    public InputUncertainty TemperatureResolutionK { get; init; }

    /// <summary>
    /// Placement: lasting difference between the place of the sensor and the mean of the gas, K; shared. A sensor on the shell or in
    /// the gas block sees the surroundings too.
    /// </summary>
    public InputUncertainty TemperaturePlacementK { get; init; }

    /// <summary>Placement: what of that difference changes from point to point with sun, draught and load, K; random.</summary>
    public InputUncertainty TemperaturePlacementChangeK { get; init; }

    /// <summary>
    /// Time by which the sensor follows the gas, s, as far as it is not corrected; it errs by this times the rate at which the
    /// temperature changes. Random: the rate has another sign morning and evening.
    /// </summary>
    public InputUncertainty TemperatureLagS { get; init; }

    /// <summary>Lasting error of the barometric pressure added to a gauge reading, Pa; shared. Its altitude, its register entry.</summary>
    public InputUncertainty BarometricPressurePa { get; init; }

    /// <summary>Weather around that barometric pressure, Pa; random. 0 where the barometer is read.</summary>
    public InputUncertainty WeatherPa { get; init; }

    /// <summary>
    /// Relative uncertainty of the equation of state; shared. Taken in full also near the reference temperature, where most of it
    /// cancels: an upper bound.
    /// </summary>
    public InputUncertainty EquationOfStateFraction { get; init; } = PublishedEquationOfState;
}
