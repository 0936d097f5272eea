using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Leaks;

/// <summary>
/// The temperature-corrected pressure-change leak rate of 40 CFR 1065.644, equation 1065.644-1:
/// n = (V_vac / R) (p2/T2 - p1/T1) / (t2 - t1). Written for gas that leaks into an evacuated volume, ideal gas; for a pressurised
/// vessel use <see cref="LeakRate.BetweenReadings"/>, its real-gas counterpart with the sign of outflow.
/// </summary>
public static class VacuumDecayLeakRate
{
    /// <summary>Molar inflow in mol/s, positive when gas comes in.</summary>
    /// <param name="vacuumVolume">Geometric volume of the vacuum side, V_vac.</param>
    /// <param name="startPressure">Vacuum-side absolute pressure p1 at the start.</param>
    /// <param name="startTemperature">Vacuum-side temperature T1 at the start.</param>
    /// <param name="endPressure">Vacuum-side absolute pressure p2 at the end.</param>
    /// <param name="endTemperature">Vacuum-side temperature T2 at the end.</param>
    /// <param name="elapsed">t2 - t1, above zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">No time between start and end, or a temperature that was never set.</exception>
    public static double InflowMolPerS(
        GasVolume vacuumVolume,
        AbsolutePressure startPressure,
        GasTemperature startTemperature,
        AbsolutePressure endPressure,
        GasTemperature endTemperature,
        TimeSpan elapsed)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(elapsed, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfEqual(startTemperature, default);
        ArgumentOutOfRangeException.ThrowIfEqual(endTemperature, default);
        double change = (endPressure.Pascals / endTemperature.Kelvins) - (startPressure.Pascals / startTemperature.Kelvins);
        return vacuumVolume.CubicMetres / MolarGasConstant.JoulesPerMoleKelvin * change / elapsed.TotalSeconds;
    }
}
