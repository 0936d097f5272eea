using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// Letting nitrogen out of an overfilled vessel. The gas left behind expands without heat exchange (constant entropy) and warms up
/// again, so a fast bleed must stop below the target; a slow one stops at it.
/// </summary>
public static class Bleeding
{
    /// <summary>Bleed so much that the vessel settles at a pressure.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="settled">Absolute pressure wanted once settled, above 0 and not above that of the vessel.</param>
    /// <exception cref="ArgumentOutOfRangeException">A target at vacuum or above the vessel's pressure.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range, or gas colder than 126.192 K.</exception>
    public static BleedOutcome ToSettled(GasSpace vessel, AbsolutePressure settled)
    {
        CheckTarget(vessel, settled, nameof(settled));
        GasSpace after = vessel with { Pressure = settled };
        return Outcome(vessel, after, Isentrope.ToDensity(Before(vessel), after.MolarDensityMolPerM3));
    }

    /// <summary>Bleed fast until the gauge shows a pressure: the vessel settles above it.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="stopAt">Absolute pressure at which the bleed stops, above 0 and not above that of the vessel.</param>
    /// <exception cref="ArgumentOutOfRangeException">A stop at vacuum or above the vessel's pressure.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range, or gas colder than 126.192 K.</exception>
    public static BleedOutcome ToPressure(GasSpace vessel, AbsolutePressure stopAt)
    {
        CheckTarget(vessel, stopAt, nameof(stopAt));
        NitrogenState now = Isentrope.ToPressure(Before(vessel), stopAt.Pascals);
        GasSpace after = vessel.WithContent(AmountOfGas.FromMoles(now.MolarDensityMolPerM3 * vessel.Volume.CubicMetres));
        return Outcome(vessel, after, now);
    }

    private static NitrogenState Before(GasSpace vessel) => NitrogenState.AtPressure(vessel.Temperature.Kelvins, vessel.Pressure.Pascals);

    private static BleedOutcome Outcome(GasSpace before, GasSpace after, NitrogenState now) => new(
        AmountOfGas.FromMoles(Math.Max(0, before.Content.Moles - after.Content.Moles)),
        AbsolutePressure.FromPascals(now.PressurePa),
        GasTemperature.FromKelvins(now.TemperatureK),
        after);

    private static void CheckTarget(GasSpace vessel, AbsolutePressure target, string parameter)
    {
        if (!(target.Pascals > 0 && target.Pascals <= vessel.Pressure.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                parameter, target, $"A bleed ends above vacuum and not above the {vessel.Pressure} that the vessel has. To go up, fill.");
        }
    }
}
