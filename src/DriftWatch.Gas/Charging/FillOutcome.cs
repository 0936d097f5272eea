using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>A vessel just filled: what the gauge shows now, and where it settles once the gas has the shell's temperature again.</summary>
public sealed record FillOutcome
{
    internal FillOutcome(GasSpace vessel, GasSpace bottle, double addedMol, double vesselK, double bottleK)
    {
        Added = AmountOfGas.FromMoles(addedMol);
        Settled = vessel.WithContent(AmountOfGas.FromMoles(vessel.Content.Moles + addedMol));
        TemperatureNow = GasTemperature.FromKelvins(vesselK);
        MolarDensityMolPerM3 = (vessel.Content.Moles + addedMol) / vessel.Volume.CubicMetres;
        PressureNow = AbsolutePressure.FromPascals(NitrogenState.InWiderRange(vesselK, MolarDensityMolPerM3).PressurePa);
        BottleSettled = bottle.WithContent(AmountOfGas.FromMoles(bottle.Content.Moles - addedMol));
        BottleTemperatureNow = GasTemperature.FromKelvins(bottleK);
        BottlePressureNow = AbsolutePressure.FromPascals(
            NitrogenState.InWiderRange(bottleK, (bottle.Content.Moles - addedMol) / bottle.Volume.CubicMetres).PressurePa);
    }

    /// <summary>Nitrogen that went from the bottle to the vessel.</summary>
    public AmountOfGas Added { get; }

    /// <summary>Absolute pressure at the end of the filling, gas still warm.</summary>
    public AbsolutePressure PressureNow { get; }

    /// <summary>Gas temperature at the end of the filling.</summary>
    public GasTemperature TemperatureNow { get; }

    /// <summary>Molar density in the vessel, mol/m3; it stays while the gas cools.</summary>
    public double MolarDensityMolPerM3 { get; }

    /// <summary>The vessel once its gas has the temperature it had before.</summary>
    public GasSpace Settled { get; }

    /// <summary>Absolute pressure left in the bottle at the end of the filling, gas still cold.</summary>
    public AbsolutePressure BottlePressureNow { get; }

    /// <summary>Gas temperature in the bottle at the end of the filling.</summary>
    public GasTemperature BottleTemperatureNow { get; }

    /// <summary>The bottle once its gas has the temperature it had before.</summary>
    public GasSpace BottleSettled { get; }

    /// <summary>Absolute pressure in the vessel some time after the filling, while the gas cools down to the shell.</summary>
    /// <param name="elapsed">Time since the end of the filling, zero or more.</param>
    /// <param name="timeConstant">Time constant of the heat exchange, above zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range.</exception>
    public AbsolutePressure PressureAfter(TimeSpan elapsed, TimeSpan timeConstant)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(elapsed, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(timeConstant, TimeSpan.Zero);
        double shellK = Settled.Temperature.Kelvins;
        double gasK = shellK + ((TemperatureNow.Kelvins - shellK) * Math.Exp(-(elapsed / timeConstant)));
        return AbsolutePressure.FromPascals(NitrogenState.InWiderRange(gasK, MolarDensityMolPerM3).PressurePa);
    }
}
