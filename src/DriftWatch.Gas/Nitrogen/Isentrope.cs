using System.Globalization;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Nitrogen expanded or compressed without heat exchange and without loss: constant entropy, real gas. Reaches from the critical
/// temperature, 126.192 K, below which it refuses, to 1000 K.
/// </summary>
public static class Isentrope
{
    private const int MostRounds = 100;
    private const double Accepted = 1e-12;

    /// <summary>Where the pressure comes no nearer, for the temperature is found to <see cref="Accepted"/> only, this will do.</summary>
    private const double Settled = 1e-9;

    /// <summary>The state at another density on the isentrope through a state.</summary>
    /// <param name="from">The state before.</param>
    /// <param name="molarDensityMolPerM3">Density after, above 0 to 21 000 mol/m3.</param>
    /// <exception cref="OutsideNitrogenRangeException">Density outside the range, or gas colder than 126.192 K or hotter than 1000 K.</exception>
    public static NitrogenState ToDensity(NitrogenState from, double molarDensityMolPerM3)
    {
        if (!(NitrogenRange.MolarDensity(molarDensityMolPerM3, nameof(molarDensityMolPerM3)) > 0))
        {
            throw new OutsideNitrogenRangeException(
                nameof(molarDensityMolPerM3), "Molar density", molarDensityMolPerM3, double.Epsilon,
                NitrogenRange.HighestMolarDensityMolPerM3, "mol/m3", "Expansion into vacuum has no end state.");
        }

        // ds = cv dT / T at constant density, so a step in ln T of ds / cv; entropy rises with temperature, so the bracket holds.
        double low = WiderRange.LowestTemperatureK;
        double high = WiderRange.HighestTemperatureK;
        double start = from.TemperatureK * Math.Pow(molarDensityMolPerM3 / from.MolarDensityMolPerM3, 0.4);
        double temperature = Math.Clamp(start, low, high);
        double outside = start;
        for (int round = 0; round < MostRounds; round++)
        {
            NitrogenState state = NitrogenState.InWiderRange(temperature, molarDensityMolPerM3);
            double miss = from.EntropyJPerMolK - state.EntropyJPerMolK;
            double step = miss / state.IsochoricHeatCapacityJPerMolK;
            if (Math.Abs(step) <= Accepted)
            {
                return state;
            }

            (low, high) = miss > 0 ? (temperature, high) : (low, temperature);
            if (high - low <= Accepted * high)
            {
                break;
            }

            double next = temperature * Math.Exp(step);
            outside = next;
            temperature = next > low && next < high ? next : (low + high) / 2;
        }

        // The bracket has shrunk onto an end of the range; the last step tells about how far outside the gas would be.
        WiderRange.Temperature(outside);
        throw new InvalidOperationException("The temperature on the isentrope did not settle.");
    }

    /// <summary>The state at another pressure on the isentrope through a state.</summary>
    /// <param name="from">The state before.</param>
    /// <param name="pressurePa">Absolute pressure after, above 0 to 70e6 Pa.</param>
    /// <exception cref="OutsideNitrogenRangeException">Pressure outside the range, or gas colder than 126.192 K or hotter than 1000 K.</exception>
    public static NitrogenState ToPressure(NitrogenState from, double pressurePa) =>
        ToPressure(from, pressurePa, 0);

    /// <summary>The same, but no thinner than a density: gas that fills its vessel expands no further.</summary>
    internal static NitrogenState ToPressure(NitrogenState from, double pressurePa, double thinnestMolPerM3)
    {
        if (!(NitrogenRange.Pressure(pressurePa, nameof(pressurePa)) > 0))
        {
            throw new OutsideNitrogenRangeException(
                nameof(pressurePa), "Absolute pressure", pressurePa, double.Epsilon, NitrogenRange.HighestPressurePa, "Pa",
                "Expansion into vacuum has no end state.");
        }

        // Along the isentrope dp / drho = w^2 M > 0. In logarithms p against rho is nearly straight, so Newton needs a few rounds.
        NitrogenState state = from;
        double before = double.PositiveInfinity;
        for (int round = 0; round < MostRounds; round++)
        {
            double miss = Math.Log(pressurePa / state.PressurePa);
            double size = Math.Abs(miss);
            if (size <= Accepted || (size <= Settled && size >= before) || (miss < 0 && state.MolarDensityMolPerM3 == thinnestMolPerM3))
            {
                return state;
            }

            before = size;
            double exponent = state.SpeedOfSoundMPerS * state.SpeedOfSoundMPerS
                * (AmountOfGas.NitrogenGramsPerMole / 1000) * state.MolarDensityMolPerM3 / state.PressurePa;
            state = ToDensity(from, Math.Clamp(
                state.MolarDensityMolPerM3 * Math.Exp(miss / exponent), thinnestMolPerM3, NitrogenRange.HighestMolarDensityMolPerM3));
        }

        throw new InvalidOperationException(string.Create(
            CultureInfo.InvariantCulture, $"The isentrope to {pressurePa} Pa did not settle; last pressure {state.PressurePa} Pa."));
    }
}
