using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Leaks;

/// <summary>
/// The round hole through which a leak would flow at the speed of sound. An ORDER OF MAGNITUDE only, to picture a leak by: real leaks are
/// scratches, pores and seal gaps, where the gas flows slower through a larger opening, and far below some 1e-6 mol/s it seeps by
/// diffusion through elastomer instead. Ideal gas, k = 1.4, discharge coefficient 1.
/// </summary>
public static class EquivalentHole
{
    /// <summary>Words that go wherever the figure is shown.</summary>
    public const string Label = "order of magnitude";

    private const double HeatCapacityRatio = 1.4;
    private const double KilogramsPerMole = AmountOfGas.NitrogenGramsPerMole / 1000;

    /// <summary>Ratio of upstream to downstream pressure, both absolute, from which the flow is choked: 1.893 for k = 1.4.</summary>
    public static double ChokedPressureRatio { get; } =
        Math.Pow((HeatCapacityRatio + 1) / 2, HeatCapacityRatio / (HeatCapacityRatio - 1));

    /// <summary>Diameter of the hole, m; order of magnitude.</summary>
    /// <param name="rate">Leak rate, outwards, above 0.</param>
    /// <param name="gas">Absolute pressure of the gas.</param>
    /// <param name="temperature">Temperature of the gas.</param>
    /// <param name="downstream">Absolute pressure where it leaks to; the gas has at least 1.893 times that.</param>
    /// <exception cref="ArgumentOutOfRangeException">No leak outwards, no temperature, or a pressure too low for choked flow.</exception>
    public static double DiameterM(LeakRate rate, AbsolutePressure gas, GasTemperature temperature, AbsolutePressure downstream)
    {
        if (!(rate.MolesPerSecond > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(rate), rate, "Only a leak outwards, above 0, has a hole.");
        }

        if (!(temperature.Kelvins > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(temperature), temperature, "Give the gas temperature.");
        }

        if (!(gas.Pascals > 0 && gas.Pascals >= ChokedPressureRatio * downstream.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(gas), gas, $"The flow is choked only from 1.893 times the pressure downstream, {downstream}, on.");
        }

        const double k = HeatCapacityRatio;
        double perArea = gas.Pascals
            * Math.Sqrt(k / (KilogramsPerMole * MolarGasConstant.JoulesPerMoleKelvin * temperature.Kelvins))
            * Math.Pow(2 / (k + 1), (k + 1) / (2 * (k - 1)));
        return Math.Sqrt(4 / Math.PI * rate.MolesPerSecond / perArea);
    }
}
