using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// What the charging gauge must show for a wanted precharge, the precharge behind a reading, and the nitrogen it takes. Fluid side
/// released, gas filling the whole gas volume and at rest in temperature; real gas.
/// </summary>
public static class ChargingTarget
{
    /// <summary>Gauge pressure that the wanted precharge shows at the present gas temperature.</summary>
    /// <param name="gasTemperature">Gas temperature at the gauge reading, 233 to 373.15 K.</param>
    /// <param name="prechargeAtReference">Wanted precharge, absolute, at the reference temperature, to 70 MPa.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K; the trade states 20 degrees C.</param>
    /// <param name="ambient">Ambient pressure at the gauge.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    public static GaugePressure GaugePressureAt(
        GasTemperature gasTemperature, AbsolutePressure prechargeAtReference, GasTemperature reference, AbsolutePressure ambient) =>
        AbsolutePressure.FromPascals(IsochoricCorrection.PressureAtReferencePa(
            prechargeAtReference.Pascals, reference.Kelvins, gasTemperature.Kelvins)).ToGauge(ambient);

    /// <summary>Precharge, absolute, at the reference temperature behind a gauge reading: the reverse.</summary>
    /// <param name="reading">Gauge pressure read.</param>
    /// <param name="gasTemperature">Gas temperature at the reading, 233 to 373.15 K.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="ambient">Ambient pressure at the gauge.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    public static AbsolutePressure PrechargeAtReference(
        GaugePressure reading, GasTemperature gasTemperature, GasTemperature reference, AbsolutePressure ambient) =>
        AbsolutePressure.FromPascals(IsochoricCorrection.PressureAtReferencePa(
            reading.ToAbsolute(ambient).Pascals, gasTemperature.Kelvins, reference.Kelvins));

    /// <summary>Nitrogen in a gas volume at a precharge.</summary>
    /// <param name="prechargeAtReference">Precharge, absolute, at the reference temperature, to 70 MPa.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="gasVolume">Gas volume with the fluid side empty.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    public static AmountOfGas NitrogenContent(
        AbsolutePressure prechargeAtReference, GasTemperature reference, GasVolume gasVolume) => AmountOfGas.FromMoles(
            NitrogenEquation.MolarDensityMolPerM3(reference.Kelvins, prechargeAtReference.Pascals) * gasVolume.CubicMetres);

    /// <summary>
    /// Nitrogen to add to go from the present to the wanted precharge; its standard volume by
    /// <see cref="AmountOfGas.VolumeAt"/> at a named condition.
    /// </summary>
    /// <param name="present">Present precharge, absolute, at the reference temperature.</param>
    /// <param name="wanted">Wanted precharge, absolute, at the reference temperature, not below the present one; to 70 MPa.</param>
    /// <param name="reference">Reference temperature, 233 to 373.15 K.</param>
    /// <param name="gasVolume">Gas volume with the fluid side empty.</param>
    /// <exception cref="ArgumentException">The wanted precharge is below the present one: gas is to be released, not added.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    public static AmountOfGas NitrogenToAdd(
        AbsolutePressure present, AbsolutePressure wanted, GasTemperature reference, GasVolume gasVolume)
    {
        if (wanted.Pascals < present.Pascals)
        {
            throw new ArgumentException(
                $"Wanted precharge {wanted} is below the present {present}: nitrogen is to be released. Swap the two for that amount.",
                nameof(wanted));
        }

        return AmountOfGas.FromMoles(
            NitrogenContent(wanted, reference, gasVolume).Moles - NitrogenContent(present, reference, gasVolume).Moles);
    }
}
