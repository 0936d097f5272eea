using System.Globalization;
using static DriftWatch.Gas.Nitrogen.NitrogenCoefficients;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// The reference equation of state of nitrogen: Span, Lemmon, Jacobsen, Wagner, Yokozeki, J. Phys. Chem. Ref. Data 29 (2000)
/// 1361, full formulation. Its authors state 0.02 % uncertainty of density below 30 MPa in the range used here (from memory).
/// Range: see <see cref="NitrogenRange"/>. All members are pure and safe on any thread.
/// </summary>
public static class NitrogenEquation
{
    /// <summary>The gas constant of the equation, J/(mol K), as published with it.</summary>
    public const double MolarGasConstantJPerMolK = GasConstantJPerMolK;

    // Newton doubles its digits each round and starts within a few percent; the bracket needs at most some 60 halvings.
    private const int MostRounds = 100;
    private const double AcceptedResidual = 1e-12;

    // So thin a gas is ideal to all digits, and the residual of the smallest numbers could not be told from zero.
    private const double IdealBelowPa = 1e-200;

    // Excluded volume that puts the start of the solve within 10 % of the answer over the whole range, m3/mol.
    private const double StartCovolumeM3PerMol = 1.8e-5;

    /// <summary>Absolute pressure in Pa; 0 at density 0.</summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="molarDensityMolPerM3">0 to 21 000 mol/m3, ends included; the pressure may then exceed 70 MPa.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static double PressurePa(double temperatureK, double molarDensityMolPerM3)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3));
        Span<double> factors = stackalloc double[TermCount];
        ResidualHelmholtz.TemperatureFactors(CriticalTemperatureK / temperatureK, factors);
        (double first, _) = ResidualHelmholtz.OnIsotherm(molarDensityMolPerM3 / CriticalDensityMolPerM3, factors);
        return molarDensityMolPerM3 * GasConstantJPerMolK * temperatureK * (1 + first);
    }

    /// <summary>
    /// Molar density in mol/m3, solved so that <see cref="PressurePa"/> gives the pressure back within 1e-12 of it.
    /// </summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="pressurePa">Absolute pressure, 0 to 70e6 Pa, ends included.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static double MolarDensityMolPerM3(double temperatureK, double pressurePa)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.Pressure(pressurePa, nameof(pressurePa));
        double idealJPerMol = GasConstantJPerMolK * temperatureK;
        if (pressurePa < IdealBelowPa)
        {
            return pressurePa / idealJPerMol;
        }

        Span<double> factors = stackalloc double[TermCount];
        ResidualHelmholtz.TemperatureFactors(CriticalTemperatureK / temperatureK, factors);

        double low = 0;
        double high = NitrogenRange.HighestMolarDensityMolPerM3;
        double density = pressurePa / (idealJPerMol + (StartCovolumeM3PerMol * pressurePa));
        double best = density;
        double bestMiss = double.PositiveInfinity;
        for (int round = 0; round < MostRounds; round++)
        {
            (double first, double second) = ResidualHelmholtz.OnIsotherm(density / CriticalDensityMolPerM3, factors);
            double miss = (density * idealJPerMol * (1 + first)) - pressurePa;
            if (Math.Abs(miss) >= bestMiss && Math.Abs(miss) <= AcceptedResidual * pressurePa)
            {
                // No further gain: the residual is down to rounding.
                break;
            }

            if (Math.Abs(miss) < bestMiss)
            {
                (best, bestMiss) = (density, Math.Abs(miss));
            }

            // Pressure rises with density all over the range, so the sign of the miss tells the side.
            (low, high) = miss > 0 ? (low, density) : (density, high);
            double next = density - (miss / (idealJPerMol * (1 + (2 * first) + second)));
            if (next == density)
            {
                break;
            }

            density = next > low && next < high ? next : (low + high) / 2;
        }

        return bestMiss <= AcceptedResidual * pressurePa
            ? best
            : throw new InvalidOperationException(string.Create(
                CultureInfo.InvariantCulture,
                $"The density at {temperatureK} K and {pressurePa} Pa did not settle; relative residual {bestMiss / pressurePa}."));
    }

    /// <summary>Derivative of pressure by molar density at constant temperature, Pa m3/mol, in closed form; always positive.</summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="molarDensityMolPerM3">0 to 21 000 mol/m3, ends included.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static double PressureByDensityPaM3PerMol(double temperatureK, double molarDensityMolPerM3)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3));
        HelmholtzDerivatives residual = ResidualHelmholtz.At(
            molarDensityMolPerM3 / CriticalDensityMolPerM3, CriticalTemperatureK / temperatureK);
        return GasConstantJPerMolK * temperatureK * (1 + (2 * residual.Delta) + residual.DeltaDelta);
    }

    /// <summary>Derivative of pressure by temperature at constant density, Pa/K, in closed form: the slope of an isochore.</summary>
    /// <param name="temperatureK">233 to 373.15 K, ends included.</param>
    /// <param name="molarDensityMolPerM3">0 to 21 000 mol/m3, ends included.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public static double PressureByTemperaturePaPerK(double temperatureK, double molarDensityMolPerM3)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3));
        HelmholtzDerivatives residual = ResidualHelmholtz.At(
            molarDensityMolPerM3 / CriticalDensityMolPerM3, CriticalTemperatureK / temperatureK);
        return molarDensityMolPerM3 * GasConstantJPerMolK * (1 + residual.Delta - residual.DeltaTau);
    }
}
