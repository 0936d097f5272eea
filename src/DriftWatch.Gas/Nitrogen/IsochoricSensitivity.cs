namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// How the pressure at reference temperature and the density answer to small errors of the pressure and temperature read, in
/// closed form from the full equation.
/// </summary>
public readonly record struct IsochoricSensitivity
{
    private IsochoricSensitivity(double slopeAtReferencePaM3PerMol, double slopePaM3PerMol, double isochorePaPerK)
    {
        DensityByPressureMolPerM3PerPa = 1 / slopePaM3PerMol;
        DensityByTemperatureMolPerM3PerK = -isochorePaPerK / slopePaM3PerMol;
        AtReferenceByPressurePaPerPa = slopeAtReferencePaM3PerMol * DensityByPressureMolPerM3PerPa;
        AtReferenceByTemperaturePaPerK = slopeAtReferencePaM3PerMol * DensityByTemperatureMolPerM3PerK;
    }

    /// <summary>Change of the pressure at reference temperature by the pressure read, Pa/Pa; above 0, near T_ref / T.</summary>
    public double AtReferenceByPressurePaPerPa { get; }

    /// <summary>Change of the pressure at reference temperature by the temperature read, Pa/K; below 0, near -p / T.</summary>
    public double AtReferenceByTemperaturePaPerK { get; }

    /// <summary>Change of the molar density by the pressure read, mol/(m3 Pa); above 0.</summary>
    public double DensityByPressureMolPerM3PerPa { get; }

    /// <summary>Change of the molar density by the temperature read, mol/(m3 K); below 0.</summary>
    public double DensityByTemperatureMolPerM3PerK { get; }

    /// <summary>The sensitivities at one reading.</summary>
    /// <param name="pressurePa">Absolute pressure of the reading, 0 to 70e6 Pa, ends included.</param>
    /// <param name="temperatureK">Gas temperature of the reading, 233 to 373.15 K, ends included.</param>
    /// <param name="referenceTemperatureK">Reference temperature, 233 to 373.15 K, ends included.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static IsochoricSensitivity At(double pressurePa, double temperatureK, double referenceTemperatureK)
    {
        double density = NitrogenEquation.MolarDensityMolPerM3(temperatureK, pressurePa);
        return new IsochoricSensitivity(
            NitrogenEquation.PressureByDensityPaM3PerMol(referenceTemperatureK, density),
            NitrogenEquation.PressureByDensityPaM3PerMol(temperatureK, density),
            NitrogenEquation.PressureByTemperaturePaPerK(temperatureK, density));
    }
}
