using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Sizing;

/// <summary>
/// Fluid that a vessel gives or takes between its working pressures, real gas: isothermal, adiabatic (constant entropy), or with a heat
/// exchange in between. Where the lowest working pressure lies below the precharge at that temperature the vessel is empty of fluid
/// before it gets there, and the gas volume ends at V0.
/// </summary>
public static class UsableVolume
{
    private const int Steps = 100;
    private const int MostRounds = 100;
    private const double Accepted = 1e-10;

    /// <summary>Usable fluid volume of one stroke.</summary>
    /// <param name="vessel">The vessel and its charge.</param>
    /// <param name="lowest">p1, lowest working pressure, absolute, above 0.</param>
    /// <param name="highest">p2, highest working pressure, absolute, not below p1, to 70 MPa.</param>
    /// <param name="gasTemperature">Temperature of shell and settled gas, 233 to 373.15 K.</param>
    /// <param name="stroke">Direction of the stroke.</param>
    /// <param name="heat">Heat exchange during the stroke.</param>
    /// <returns>Volume of fluid; 0 where even p2 does not lift the separator off its end.</returns>
    /// <exception cref="ArgumentOutOfRangeException">No gas volume, no precharge, or a range turned round.</exception>
    /// <exception cref="OutsideNitrogenRangeException">
    /// A pressure or temperature outside the nitrogen range, or an expansion to below 126.192 K, where nitrogen may condense.
    /// </exception>
    public static GasVolume Of(
        PrechargedVessel vessel,
        AbsolutePressure lowest,
        AbsolutePressure highest,
        GasTemperature gasTemperature,
        Stroke stroke,
        StrokeHeat heat)
    {
        Check(vessel, lowest, highest);
        double filled = NitrogenEquation.MolarDensityMolPerM3(vessel.Reference.Kelvins, vessel.PrechargeAtReference.Pascals);
        double moles = filled * vessel.GasVolume.CubicMetres;
        double t = gasTemperature.Kelvins;

        // A gas thinner than the precharge would need more room than there is.
        double SettledVolume(double pressurePa) =>
            moles / Math.Max(filled, NitrogenEquation.MolarDensityMolPerM3(t, pressurePa));

        (double from, double towardsPa) = stroke == Stroke.Discharge
            ? (SettledVolume(highest.Pascals), lowest.Pascals)
            : (SettledVolume(lowest.Pascals), highest.Pascals);
        if (double.IsPositiveInfinity(heat.TimeConstants))
        {
            return Between(from, SettledVolume(towardsPa));
        }

        NitrogenState start = NitrogenState.AtDensity(t, moles / from);
        double adiabaticEnd = moles / Isentrope.ToPressure(start, towardsPa, filled).MolarDensityMolPerM3;
        return heat.TimeConstants == 0
            ? Between(from, adiabaticEnd)
            : Between(from, End(start, moles, from, adiabaticEnd, SettledVolume(towardsPa), towardsPa, heat.TimeConstants));
    }

    /// <summary>With heat the stroke ends between the adiabatic and the isothermal volume; pressure at its end falls with that volume.</summary>
    private static double End(
        NitrogenState start, double moles, double from, double adiabaticEnd, double isothermalEnd, double towardsPa, double timeConstants)
    {
        (double low, double high) = (Math.Min(adiabaticEnd, isothermalEnd), Math.Max(adiabaticEnd, isothermalEnd));
        for (int round = 0; round < MostRounds && high - low > Accepted * high; round++)
        {
            double mid = (low + high) / 2;
            (low, high) = PressureAfter(start, moles, from, mid, timeConstants) > towardsPa ? (mid, high) : (low, mid);
        }

        return (low + high) / 2;
    }

    /// <summary>Pressure after a stroke from one volume to another: constant entropy in small steps, heat exchange between them.</summary>
    private static double PressureAfter(NitrogenState start, double moles, double from, double to, double timeConstants)
    {
        double shellK = start.TemperatureK;
        double decay = Math.Exp(-timeConstants / Steps);
        double half = Math.Sqrt(decay);
        double t = shellK;
        double volume = from;
        for (int step = 1; step <= Steps; step++)
        {
            t = shellK + ((t - shellK) * half);
            double next = from + ((to - from) * step / Steps);
            t = Isentrope.ToDensity(NitrogenState.InWiderRange(t, moles / volume), moles / next).TemperatureK;
            t = shellK + ((t - shellK) * half);
            volume = next;
        }

        return NitrogenState.InWiderRange(t, moles / to).PressurePa;
    }

    private static GasVolume Between(double from, double to) => GasVolume.FromCubicMetres(Math.Abs(from - to));

    private static void Check(PrechargedVessel vessel, AbsolutePressure lowest, AbsolutePressure highest)
    {
        if (!(vessel.GasVolume.CubicMetres > 0 && vessel.PrechargeAtReference.Pascals > 0))
        {
            throw new ArgumentOutOfRangeException(
                nameof(vessel), vessel, "Give the gas volume of the empty vessel and its precharge as absolute pressure, both above 0.");
        }

        if (!(lowest.Pascals > 0 && lowest.Pascals <= highest.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(lowest), lowest, $"The lowest working pressure lies above vacuum and not above the highest, {highest}.");
        }
    }
}
