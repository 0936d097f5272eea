using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// A rigid space full of nitrogen at rest: a gas bottle, or a vessel with its fluid side released. <c>default</c> holds nothing and
/// is refused by every computation.
/// </summary>
/// <param name="Volume">Volume of the gas.</param>
/// <param name="Pressure">Absolute pressure, 0 to 70 MPa.</param>
/// <param name="Temperature">Temperature of gas and shell, 233 to 373.15 K.</param>
public readonly record struct GasSpace(GasVolume Volume, AbsolutePressure Pressure, GasTemperature Temperature)
{
    /// <summary>Nitrogen in it, real gas.</summary>
    /// <exception cref="OutsideNitrogenRangeException">Pressure or temperature outside the range.</exception>
    public AmountOfGas Content => AmountOfGas.FromMoles(MolarDensityMolPerM3 * Volume.CubicMetres);

    /// <summary>Molar density, mol/m3.</summary>
    /// <exception cref="OutsideNitrogenRangeException">Pressure or temperature outside the range.</exception>
    public double MolarDensityMolPerM3 => NitrogenEquation.MolarDensityMolPerM3(Temperature.Kelvins, Pressure.Pascals);

    /// <summary>The same space at the same temperature with another amount of nitrogen in it.</summary>
    /// <exception cref="OutsideNitrogenRangeException">The density or temperature is outside the range.</exception>
    public GasSpace WithContent(AmountOfGas content) => this with
    {
        Pressure = AbsolutePressure.FromPascals(NitrogenEquation.PressurePa(Temperature.Kelvins, content.Moles / Volume.CubicMetres)),
    };

    /// <summary>Volume, pressure and temperature, culture-invariant, for logs and messages.</summary>
    public override string ToString() => $"{Volume} at {Pressure} and {Temperature}";
}
