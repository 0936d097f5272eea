namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// The range this project takes from the nitrogen equation: one homogeneous region far above the critical temperature, where
/// pressure rises with density without a fold. The equation itself reaches further (63.151 to 1000 K, to 2200 MPa).
/// </summary>
public static class NitrogenRange
{
    /// <summary>Lowest temperature, K (-40.15 degrees C).</summary>
    public const double LowestTemperatureK = 233;

    /// <summary>Highest temperature, K (100 degrees C).</summary>
    public const double HighestTemperatureK = 373.15;

    /// <summary>Highest absolute pressure from which a density is solved, Pa (700 bar).</summary>
    public const double HighestPressurePa = 70e6;

    /// <summary>
    /// Highest molar density, mol/m3: just above the density at the lowest temperature and highest pressure, so that every
    /// charge in range can be brought to every temperature in range, where its pressure may then exceed the highest one above.
    /// </summary>
    public const double HighestMolarDensityMolPerM3 = 21_000;

    /// <summary>Whether a temperature (K) and an absolute pressure (Pa) lie in range, ends included; NaN does not.</summary>
    public static bool Holds(double temperatureK, double pressurePa) =>
        temperatureK is >= LowestTemperatureK and <= HighestTemperatureK && pressurePa is >= 0 and <= HighestPressurePa;

    internal static double Temperature(double temperatureK, string parameter) =>
        temperatureK is >= LowestTemperatureK and <= HighestTemperatureK
            ? temperatureK
            : throw new OutsideNitrogenRangeException(
                parameter, "Temperature", temperatureK, LowestTemperatureK, HighestTemperatureK, "K",
                "Check the sensor, and that the figure is in kelvins.");

    internal static double Pressure(double pressurePa, string parameter) =>
        pressurePa is >= 0 and <= HighestPressurePa
            ? pressurePa
            : throw new OutsideNitrogenRangeException(
                parameter, "Absolute pressure", pressurePa, 0, HighestPressurePa, "Pa",
                "Check the transducer, the unit, and that ambient pressure was added to a gauge reading.");

    internal static double MolarDensity(double molarDensityMolPerM3, string parameter) =>
        molarDensityMolPerM3 is >= 0 and <= HighestMolarDensityMolPerM3
            ? molarDensityMolPerM3
            : throw new OutsideNitrogenRangeException(
                parameter, "Molar density", molarDensityMolPerM3, 0, HighestMolarDensityMolPerM3, "mol/m3",
                "Check that the figure is in mol/m3 (1 kg/m3 of nitrogen is 35.697 mol/m3).");
}
