using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Sizing;

/// <summary>Between which pressures and gas temperatures an accumulator works.</summary>
public sealed record WorkingConditions
{
    /// <summary>Takes the working range.</summary>
    /// <param name="lowest">
    /// p1, lowest working pressure, absolute; above 0. For damping the mean, for shock absorption the normal pressure.
    /// </param>
    /// <param name="highest">p2, highest working pressure, absolute; not below p1, to 70 MPa.</param>
    /// <param name="coldest">Lowest gas temperature, 233 K or above.</param>
    /// <param name="warmest">Highest gas temperature, not below the lowest, to 373.15 K.</param>
    /// <exception cref="ArgumentOutOfRangeException">A range turned round, or p1 at vacuum.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A pressure or temperature outside the nitrogen range.</exception>
    public WorkingConditions(AbsolutePressure lowest, AbsolutePressure highest, GasTemperature coldest, GasTemperature warmest)
    {
        NitrogenRange.Pressure(highest.Pascals, nameof(highest));
        NitrogenRange.Temperature(coldest.Kelvins, nameof(coldest));
        NitrogenRange.Temperature(warmest.Kelvins, nameof(warmest));
        if (!(lowest.Pascals > 0 && lowest.Pascals <= highest.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(lowest), lowest, $"The lowest working pressure lies above vacuum and not above the highest, {highest}.");
        }

        if (!(coldest.Kelvins <= warmest.Kelvins))
        {
            throw new ArgumentOutOfRangeException(
                nameof(coldest), coldest, $"The lowest gas temperature does not lie above the highest, {warmest}.");
        }

        Lowest = lowest;
        Highest = highest;
        Coldest = coldest;
        Warmest = warmest;
    }

    /// <summary>p1, lowest working pressure, absolute.</summary>
    public AbsolutePressure Lowest { get; }

    /// <summary>p2, highest working pressure, absolute.</summary>
    public AbsolutePressure Highest { get; }

    /// <summary>Lowest gas temperature.</summary>
    public GasTemperature Coldest { get; }

    /// <summary>Highest gas temperature.</summary>
    public GasTemperature Warmest { get; }
}
