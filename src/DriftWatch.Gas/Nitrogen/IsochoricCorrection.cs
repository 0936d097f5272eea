namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Brings a precharge reading to the reference temperature at constant density, the way a closed gas space of fixed volume goes:
/// rho = rho(p, T), p_ref = p(T_ref, rho). Full formulation; at 100 bar the ideal-gas ratio errs by some 2 % over 20 K.
/// </summary>
public static class IsochoricCorrection
{
    /// <summary>
    /// Absolute pressure in Pa that the same gas in the same volume has at the reference temperature. It may exceed 70 MPa when
    /// the gas is warmed. Called with the two temperatures swapped it undoes itself.
    /// </summary>
    /// <param name="pressurePa">Absolute pressure of the reading, 0 to 70e6 Pa, ends included.</param>
    /// <param name="temperatureK">Gas temperature of the reading, 233 to 373.15 K, ends included.</param>
    /// <param name="referenceTemperatureK">Reference temperature, 233 to 373.15 K, ends included; the trade states 293.15 K.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static double PressureAtReferencePa(double pressurePa, double temperatureK, double referenceTemperatureK)
    {
        NitrogenRange.Temperature(referenceTemperatureK, nameof(referenceTemperatureK));
        double molarDensityMolPerM3 = NitrogenEquation.MolarDensityMolPerM3(temperatureK, pressurePa);
        return NitrogenEquation.PressurePa(referenceTemperatureK, molarDensityMolPerM3);
    }
}
