using DriftWatch.Gas.Quantities;
using static DriftWatch.Gas.Nitrogen.NitrogenCoefficients;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// One equilibrium state of nitrogen with its caloric properties, from the same equation as <see cref="NitrogenEquation"/>.
/// Energies and entropies count from the equation's own reference: ideal gas at 298.15 K and 101 325 Pa has 8670 J/mol enthalpy
/// and 191.5 J/(mol K) entropy.
/// </summary>
public readonly record struct NitrogenState
{
    private NitrogenState(double temperatureK, double molarDensityMolPerM3)
    {
        double delta = molarDensityMolPerM3 / CriticalDensityMolPerM3;
        double tau = CriticalTemperatureK / temperatureK;
        HelmholtzDerivatives ideal = IdealHelmholtz.At(delta, tau);
        HelmholtzDerivatives residual = ResidualHelmholtz.At(delta, tau);

        double compressibility = 1 + residual.Delta;
        double densitySlope = 1 + (2 * residual.Delta) + residual.DeltaDelta;
        double temperatureSlope = 1 + residual.Delta - residual.DeltaTau;
        double tauSum = ideal.Tau + residual.Tau;
        double curvature = -(ideal.TauTau + residual.TauTau);
        double idealJPerMol = GasConstantJPerMolK * temperatureK;

        TemperatureK = temperatureK;
        MolarDensityMolPerM3 = molarDensityMolPerM3;
        CompressibilityFactor = compressibility;
        PressurePa = molarDensityMolPerM3 * idealJPerMol * compressibility;
        InternalEnergyJPerMol = idealJPerMol * tauSum;
        EnthalpyJPerMol = idealJPerMol * (tauSum + compressibility);
        EntropyJPerMolK = GasConstantJPerMolK * (tauSum - ideal.Value - residual.Value);
        IsochoreSlopePaPerK = molarDensityMolPerM3 * GasConstantJPerMolK * temperatureSlope;
        IsochoricHeatCapacityJPerMolK = GasConstantJPerMolK * curvature;
        IsobaricHeatCapacityJPerMolK =
            GasConstantJPerMolK * (curvature + (temperatureSlope * temperatureSlope / densitySlope));
        SpeedOfSoundMPerS = Math.Sqrt(
            idealJPerMol / (AmountOfGas.NitrogenGramsPerMole / 1000)
            * (densitySlope + (temperatureSlope * temperatureSlope / curvature)));
    }

    /// <summary>Temperature, K.</summary>
    public double TemperatureK { get; }

    /// <summary>Absolute pressure, Pa.</summary>
    public double PressurePa { get; }

    /// <summary>Molar density, mol/m3.</summary>
    public double MolarDensityMolPerM3 { get; }

    /// <summary>Compressibility factor Z = p / (rho R T), a pure number.</summary>
    public double CompressibilityFactor { get; }

    /// <summary>Molar internal energy u, J/mol.</summary>
    public double InternalEnergyJPerMol { get; }

    /// <summary>Molar enthalpy h, J/mol.</summary>
    public double EnthalpyJPerMol { get; }

    /// <summary>Molar entropy s, J/(mol K).</summary>
    public double EntropyJPerMolK { get; }

    /// <summary>Derivative of pressure by temperature at constant density, Pa/K.</summary>
    public double IsochoreSlopePaPerK { get; }

    /// <summary>Molar heat capacity at constant volume cv, J/(mol K).</summary>
    public double IsochoricHeatCapacityJPerMolK { get; }

    /// <summary>Molar heat capacity at constant pressure cp, J/(mol K).</summary>
    public double IsobaricHeatCapacityJPerMolK { get; }

    /// <summary>Speed of sound w, m/s.</summary>
    public double SpeedOfSoundMPerS { get; }

    /// <summary>The state at a temperature and pressure.</summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="pressurePa">Absolute pressure, above 0 (where entropy is without bound) to 70e6 Pa.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static NitrogenState AtPressure(double temperatureK, double pressurePa) =>
        AtDensity(temperatureK, NitrogenEquation.MolarDensityMolPerM3(temperatureK, pressurePa));

    /// <summary>The state at a temperature and molar density.</summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="molarDensityMolPerM3">Above 0 (where entropy is without bound) to 21 000 mol/m3.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static NitrogenState AtDensity(double temperatureK, double molarDensityMolPerM3)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3));
        return molarDensityMolPerM3 > 0
            ? new NitrogenState(temperatureK, molarDensityMolPerM3)
            : throw new OutsideNitrogenRangeException(
                nameof(molarDensityMolPerM3), "Molar density", molarDensityMolPerM3, double.Epsilon,
                NitrogenRange.HighestMolarDensityMolPerM3, "mol/m3", "A state needs gas: give a pressure or density above zero.");
    }
    /// <summary>
    /// The state in the wider range that rapid filling and expansion reach; <see cref="Isentrope"/> and the balances around it check
    /// that range.
    /// </summary>
    internal static NitrogenState InWiderRange(double temperatureK, double molarDensityMolPerM3) => new(
        WiderRange.Temperature(temperatureK), NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3)));
}
