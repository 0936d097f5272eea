using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Rounds;

/// <summary>
/// The correction of one vessel on a small grid, for where the equation of state is not at hand: a browser without network. It
/// holds the ratio of the real to the ideal correction, (p_ref / p)(T / T_ref), which bends so little that straight lines between
/// grid points are enough: the error stays below <see cref="Tolerance"/> of the precharge. Immutable.
/// </summary>
public sealed record IsochoricTable
{
    /// <summary>Greatest relative error of the absolute precharge against the full equation, anywhere on the grid.</summary>
    public const double Tolerance = 3e-4;

    private const double LowestK = 243.15;
    private const double TemperatureStepK = 5;
    private const int Temperatures = 21;
    private const int Pressures = 15;
    private const double HighestOfUpperLimit = 1.5;

    private IsochoricTable()
    {
    }

    /// <summary>Absolute pressures of the grid, Pa, evenly spaced.</summary>
    public required IReadOnlyList<double> PressuresPa { get; init; }

    /// <summary>Gas temperatures of the grid, K, evenly spaced: -30 to 70 degrees C.</summary>
    public required IReadOnlyList<double> TemperaturesK { get; init; }

    /// <summary>Ratio of the real to the ideal correction, row by row: the temperatures of the first pressure, then those of the next.</summary>
    public required IReadOnlyList<double> Ratios { get; init; }

    /// <summary>Expanded uncertainty (k = 2) of the precharge read by hand, Pa, laid out as <see cref="Ratios"/>.</summary>
    public required IReadOnlyList<double> ExpandedPa { get; init; }

    /// <summary>Reference temperature, K.</summary>
    public required double ReferenceK { get; init; }

    /// <summary>The table of a vessel.</summary>
    /// <param name="vessel">The vessel; its upper limit below 46 MPa gauge.</param>
    /// <param name="instruments">What is read with.</param>
    public static IsochoricTable For(VesselSpecification vessel, HandInstruments instruments)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(instruments);
        double lowest = vessel.Ambient.Pascals;
        double highest = Math.Min(
            NitrogenRange.HighestPressurePa, lowest + (HighestOfUpperLimit * vessel.UpperLimit.Pascals));
        double reference = vessel.ReferenceTemperature.Kelvins;
        double[] pressures = [.. Enumerable.Range(0, Pressures).Select(n => lowest + (n * (highest - lowest) / (Pressures - 1)))];
        double[] temperatures = [.. Enumerable.Range(0, Temperatures).Select(n => LowestK + (n * TemperatureStepK))];
        List<double> ratios = [];
        List<double> expanded = [];
        foreach (double pressure in pressures)
        {
            foreach (double temperature in temperatures)
            {
                ratios.Add(IsochoricCorrection.PressureAtReferencePa(pressure, temperature, reference) / pressure * temperature / reference);
                GaugePressure gauge = AbsolutePressure.FromPascals(pressure).ToGauge(vessel.Ambient);
                expanded.Add(CoverageFactor.Expanded
                    * instruments.Budget(vessel, gauge, GasTemperature.FromKelvins(temperature)).CombinedStandardUncertainty);
            }
        }

        return new IsochoricTable { PressuresPa = pressures, TemperaturesK = temperatures, Ratios = ratios, ExpandedPa = expanded, ReferenceK = reference };
    }

    /// <summary>The precharge behind a reading, Pa absolute at the reference temperature; null off the grid.</summary>
    /// <param name="pressurePa">Absolute pressure read, Pa.</param>
    /// <param name="temperatureK">Gas temperature read, K.</param>
    public double? PrechargePa(double pressurePa, double temperatureK) =>
        At(Ratios, pressurePa, temperatureK) is { } ratio ? ratio * pressurePa * ReferenceK / temperatureK : null;

    /// <summary>Expanded uncertainty (k = 2) of that precharge, Pa; null off the grid.</summary>
    /// <param name="pressurePa">Absolute pressure read, Pa.</param>
    /// <param name="temperatureK">Gas temperature read, K.</param>
    public double? ExpandedAtPa(double pressurePa, double temperatureK) => At(ExpandedPa, pressurePa, temperatureK);

    private double? At(IReadOnlyList<double> values, double pressurePa, double temperatureK)
    {
        if (Place(PressuresPa, pressurePa) is not { } p || Place(TemperaturesK, temperatureK) is not { } t)
        {
            return null;
        }

        int low = (p.Index * TemperaturesK.Count) + t.Index;
        int high = low + TemperaturesK.Count;
        double one = values[low] + (t.Share * (values[low + 1] - values[low]));
        double other = values[high] + (t.Share * (values[high + 1] - values[high]));
        return one + (p.Share * (other - one));
    }

    private static (int Index, double Share)? Place(IReadOnlyList<double> grid, double value)
    {
        double place = (value - grid[0]) / (grid[1] - grid[0]);
        if (!(place >= 0 && place <= grid.Count - 1))
        {
            return null;
        }

        int index = Math.Min((int)place, grid.Count - 2);
        return (index, place - index);
    }
}
