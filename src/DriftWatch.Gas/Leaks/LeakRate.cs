using System.Globalization;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Leaks;

/// <summary>
/// Rate at which nitrogen leaves a gas space, held as mol/s, positive outwards. Volume-based units are this rate at a stated
/// temperature or standard condition. Range -1e6 to 1e6 mol/s, both ends included; <c>default</c> is no leak.
/// </summary>
public readonly record struct LeakRate
{
    private const double MostMolesPerSecond = 1e6;
    private const double SecondsPerMinute = 60;
    private const double SecondsPerYear = 365.25 * 86_400;
    private const double MonthsPerYear = 12;
    private const double CubicCentimetresPerCubicMetre = 1e6;

    private LeakRate(double molesPerSecond) => MolesPerSecond = molesPerSecond;

    /// <summary>Molar leak rate, mol/s, positive when gas leaves.</summary>
    public double MolesPerSecond { get; }

    /// <summary>Mass leak rate, g of nitrogen per Julian year (365.25 days).</summary>
    public double GramsPerYear => MolesPerSecond * AmountOfGas.NitrogenGramsPerMole * SecondsPerYear;

    /// <summary>Takes a molar leak rate in mol/s, -1e6 to 1e6, positive when gas leaves.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static LeakRate FromMolesPerSecond(double molesPerSecond) => new(Require.Within(
        molesPerSecond, -MostMolesPerSecond, MostMolesPerSecond, nameof(molesPerSecond), "Leak rate", "mol/s",
        "Check time and volume units."));

    /// <summary>Takes a pV leak rate in Pa m3/s stated at a gas temperature: mol/s = Q / (R T).</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static LeakRate FromPascalCubicMetresPerSecond(double pascalCubicMetresPerSecond, GasTemperature statedAt) =>
        FromMolesPerSecond(pascalCubicMetresPerSecond / (MolarGasConstant.JoulesPerMoleKelvin * statedAt.Kelvins));

    /// <summary>Leak rate from the trend of molar density in a gas space: -V d(rho)/dt.</summary>
    /// <param name="molarDensityMolPerM3PerS">d(rho)/dt in mol/(m3 s); negative when gas is lost.</param>
    /// <param name="gasVolume">Gas volume V0 with the fluid side empty.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static LeakRate FromDensityTrend(double molarDensityMolPerM3PerS, GasVolume gasVolume) =>
        FromMolesPerSecond(-molarDensityMolPerM3PerS * gasVolume.CubicMetres);

    /// <summary>
    /// Leak rate from the trend of the precharge corrected to the reference temperature: -V (d(rho)/dp at T_ref) d(p_ref)/dt,
    /// real gas. An ideal gas gives -V / (R T_ref) d(p_ref)/dt, off by some 1 % at 100 bar.
    /// </summary>
    /// <param name="pressureAtReferencePaPerS">d(p_ref)/dt in Pa/s; negative when gas is lost.</param>
    /// <param name="pressureAtReference">The precharge at the reference temperature where the trend is taken, to 70 MPa.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="gasVolume">Gas volume V0 with the fluid side empty.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static LeakRate FromPressureTrend(
        double pressureAtReferencePaPerS, AbsolutePressure pressureAtReference, GasTemperature reference, GasVolume gasVolume)
    {
        double density = NitrogenEquation.MolarDensityMolPerM3(reference.Kelvins, pressureAtReference.Pascals);
        double slope = NitrogenEquation.PressureByDensityPaM3PerMol(reference.Kelvins, density);
        return FromDensityTrend(pressureAtReferencePaPerS / slope, gasVolume);
    }

    /// <summary>Mean leak rate between two readings of one gas space, real gas: V (rho1 - rho2) / (t2 - t1).</summary>
    /// <param name="gasVolume">Gas volume, the same at both readings.</param>
    /// <param name="startPressure">Pressure at the first reading, to 70 MPa.</param>
    /// <param name="startTemperature">Gas temperature at the first reading, 233 to 373.15 K.</param>
    /// <param name="endPressure">Pressure at the second reading, to 70 MPa.</param>
    /// <param name="endTemperature">Gas temperature at the second reading, 233 to 373.15 K.</param>
    /// <param name="elapsed">Time from the first to the second reading, above zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside a range, or no time between the readings.</exception>
    public static LeakRate BetweenReadings(
        GasVolume gasVolume,
        AbsolutePressure startPressure,
        GasTemperature startTemperature,
        AbsolutePressure endPressure,
        GasTemperature endTemperature,
        TimeSpan elapsed)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(elapsed, TimeSpan.Zero);
        double start = NitrogenEquation.MolarDensityMolPerM3(startTemperature.Kelvins, startPressure.Pascals);
        double end = NitrogenEquation.MolarDensityMolPerM3(endTemperature.Kelvins, endPressure.Pascals);
        return FromDensityTrend((end - start) / elapsed.TotalSeconds, gasVolume);
    }

    /// <summary>
    /// pV leak rate in Pa m3/s, stated at a gas temperature: Q = n R T of the escaped gas, which counts as ideal at ambient
    /// pressure. State the temperature with the figure.
    /// </summary>
    public double PascalCubicMetresPerSecondAt(GasTemperature statedAt) =>
        MolesPerSecond * MolarGasConstant.JoulesPerMoleKelvin * statedAt.Kelvins;

    /// <summary>pV leak rate in mbar l/s (1 mbar l/s = 0.1 Pa m3/s), stated at a gas temperature.</summary>
    public double MillibarLitresPerSecondAt(GasTemperature statedAt) => 10 * PascalCubicMetresPerSecondAt(statedAt);

    /// <summary>Standard cm3 per minute at a stated standard condition.</summary>
    public double StandardCubicCentimetresPerMinute(StandardCondition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        return MolesPerSecond * condition.MolarVolumeM3PerMol * CubicCentimetresPerCubicMetre * SecondsPerMinute;
    }

    /// <summary>Standard litres per month (a twelfth of 365.25 days) at a stated standard condition.</summary>
    public double StandardLitresPerMonth(StandardCondition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        return MolesPerSecond * condition.MolarVolumeM3PerMol * 1000 * SecondsPerYear / MonthsPerYear;
    }

    /// <summary>mol/s, culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{MolesPerSecond} mol/s");
}
