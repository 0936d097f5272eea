using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Plant.Charging;

/// <summary>What the gauge shows at the end of a filling, before the gas has come to the temperature of the shell.</summary>
internal static class FillingEnd
{
    /// <summary>Time constants of the heat exchange (common practice: some minutes).</summary>
    private static readonly TimeSpan VesselCools = TimeSpan.FromMinutes(2);

    private static readonly TimeSpan BottleWarms = TimeSpan.FromMinutes(5);

    /// <summary>The pressure at the end of a filling that settles at a pressure.</summary>
    /// <param name="space">The vessel before.</param>
    /// <param name="bottle">A fresh bottle as it is marked; bottles that stand beside the vessel have its temperature.</param>
    /// <param name="count">How many of them fill together, 1 or more.</param>
    /// <param name="settled">What it is to show once settled, absolute.</param>
    /// <param name="time">How long the filling takes; none trades no heat at all.</param>
    /// <returns>The absolute pressure; null where the bottles run too cold so fast: one after the other and slowly they may do it.</returns>
    public static AbsolutePressure? Of(GasSpace space, GasSpace bottle, int count, AbsolutePressure settled, TimeSpan time)
    {
        GasSpace beside = (bottle with { Temperature = space.Temperature }).WithContent(bottle.Content);
        GasSpace together = beside with { Volume = GasVolume.FromCubicMetres(bottle.Volume.CubicMetres * count) };
        try
        {
            return Filling.ToSettled(space, together, settled, time > TimeSpan.Zero ? HeatExchange.During(time, VesselCools, BottleWarms) : HeatExchange.None).PressureNow;
        }
        catch (Exception exception) when (exception is FillingNotReachableException or OutsideNitrogenRangeException)
        {
            return null;
        }
    }

    /// <summary>
    /// The greater of two ends: a filling at once shows most, but where bottles that are nearly emptied send cold gas it shows less than a
    /// slower one.
    /// </summary>
    public static AbsolutePressure? Greater(AbsolutePressure? one, AbsolutePressure? other) => other?.Pascals > one?.Pascals ? other : one ?? other;
}
