using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// Filling from several bottles in cascade: the emptiest one first, each until it meets the vessel's pressure, so that full bottles
/// stay full for the last step. Real-gas equalisation, everything settled at the vessel's temperature.
/// </summary>
public static class BottleCascade
{
    /// <summary>Most bottles that <see cref="WithFreshBottles"/> goes through.</summary>
    public const int MostBottles = 1000;

    /// <summary>Fills from the bottles at hand, in cascade order, and takes from the last one only what is needed.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="bottles">The bottles; their own temperature counts for their content.</param>
    /// <param name="target">Absolute pressure wanted at the vessel's temperature, not below that of the vessel, to 70 MPa.</param>
    /// <exception cref="ArgumentOutOfRangeException">A target below the vessel's pressure, or a space without volume.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range.</exception>
    public static CascadeOutcome Fill(GasSpace vessel, IReadOnlyList<GasSpace> bottles, AbsolutePressure target)
    {
        ArgumentNullException.ThrowIfNull(bottles);
        Check(vessel, target);

        // A bottle from the cold yard comes to the vessel's temperature while it stands beside it.
        IEnumerable<GasSpace> order = bottles.Select(bottle => AtTemperature(bottle, vessel.Temperature)).OrderBy(bottle => bottle.Pressure.Pascals);
        return Run(vessel, order, target);
    }

    /// <summary>Fills from as many equal fresh bottles as it takes.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="bottle">One fresh bottle.</param>
    /// <param name="target">Absolute pressure wanted at the vessel's temperature, not below that of the vessel, to 70 MPa.</param>
    /// <returns>
    /// An outcome that is not reached when the bottle's pressure at the vessel's temperature is not above the target, or when
    /// <see cref="MostBottles"/> do not do it.
    /// </returns>
    /// <exception cref="ArgumentOutOfRangeException">A target below the vessel's pressure, or a space without volume.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range.</exception>
    public static CascadeOutcome WithFreshBottles(GasSpace vessel, GasSpace bottle, AbsolutePressure target)
    {
        Check(vessel, target);
        GasSpace settled = AtTemperature(bottle, vessel.Temperature);

        // A bottle that can't get there is shown once: more of its kind only creep up to its own pressure.
        int count = settled.Pressure.Pascals > target.Pascals ? MostBottles : 1;
        return Run(vessel, Enumerable.Repeat(settled, count), target);
    }

    /// <summary>The vessel after it has met the bottle, both settled at the vessel's temperature.</summary>
    internal static GasSpace Meet(GasSpace vessel, GasSpace bottle)
    {
        double together = vessel.Content.Moles + bottle.Content.Moles;
        double share = vessel.Volume.CubicMetres / (vessel.Volume.CubicMetres + bottle.Volume.CubicMetres);
        return vessel.WithContent(AmountOfGas.FromMoles(together * share));
    }

    private static CascadeOutcome Run(GasSpace vessel, IEnumerable<GasSpace> bottles, AbsolutePressure target)
    {
        List<BottleUse> uses = [];
        GasSpace filled = vessel;
        GasSpace wanted = vessel with { Pressure = target };
        foreach (GasSpace bottle in bottles)
        {
            if (filled.Pressure.Pascals >= target.Pascals)
            {
                break;
            }

            if (bottle.Pressure.Pascals <= filled.Pressure.Pascals)
            {
                continue;
            }

            GasSpace met = Meet(filled, bottle);
            GasSpace next = met.Pressure.Pascals >= target.Pascals ? wanted : met;
            double moles = next.Content.Moles - filled.Content.Moles;
            if (!(moles > 0))
            {
                // Above the vessel by rounding only: nothing flows.
                continue;
            }

            AmountOfGas delivered = AmountOfGas.FromMoles(moles);
            GasSpace left = bottle.WithContent(AmountOfGas.FromMoles(bottle.Content.Moles - moles));
            uses.Add(new BottleUse(bottle, left, delivered, next));
            filled = next;
        }

        return new CascadeOutcome(target, filled, uses);
    }

    private static GasSpace AtTemperature(GasSpace bottle, GasTemperature temperature)
    {
        CheckVolume(bottle, "bottle");
        return (bottle with { Temperature = temperature }).WithContent(bottle.Content);
    }

    private static void Check(GasSpace vessel, AbsolutePressure target)
    {
        CheckVolume(vessel, nameof(vessel));
        NitrogenRange.Pressure(target.Pascals, nameof(target));
        if (!(target.Pascals >= vessel.Pressure.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(target), target, $"The vessel has {vessel.Pressure} already; filling ends at or above that. To go down, bleed.");
        }
    }

    private static void CheckVolume(GasSpace space, string what)
    {
        if (!(space.Volume.CubicMetres > 0))
        {
            throw new ArgumentOutOfRangeException(what, space, $"The {what} has no volume; give it in litres or m3.");
        }
    }
}
