using System.Diagnostics.CodeAnalysis;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Plant.Register;

/// <summary>A unit in which readings come, and the way from it to SI: (number + <see cref="Offset"/>) x <see cref="Factor"/>.</summary>
/// <param name="Symbol">The word for it, letter case counting.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Factor">SI units (Pa or K) in one of this unit.</param>
/// <param name="Offset">Added to a number before the factor: moves the zero of a temperature scale to absolute zero.</param>
/// <param name="IsStandardSenml">
/// Whether the SenML registries define it (RFC 8428 section 12.1 and, for hPa, RFC 8798), so that it needs no agreement.
/// </param>
public sealed record SourceUnit(string Symbol, SourceQuantity Quantity, double Factor, double Offset, bool IsStandardSenml)
{
    /// <summary>Pascals in one pound-force per square inch: 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2.</summary>
    private const double PascalsPerPsi = 0.45359237 * 9.80665 / (0.0254 * 0.0254);

    private static readonly SourceUnit[] KnownUnits =
    [
        new("Pa", SourceQuantity.Pressure, 1, 0, IsStandardSenml: true),
        new("hPa", SourceQuantity.Pressure, 100, 0, IsStandardSenml: true),
        new("kPa", SourceQuantity.Pressure, 1e3, 0, IsStandardSenml: false),
        new("MPa", SourceQuantity.Pressure, 1e6, 0, IsStandardSenml: false),
        new("bar", SourceQuantity.Pressure, 1e5, 0, IsStandardSenml: false),
        new("psi", SourceQuantity.Pressure, PascalsPerPsi, 0, IsStandardSenml: false),
        new("K", SourceQuantity.Temperature, 1, 0, IsStandardSenml: true),
        new("Cel", SourceQuantity.Temperature, 1, GasTemperature.IcePointKelvins, IsStandardSenml: true),
        new("degF", SourceQuantity.Temperature, 5d / 9d, 459.67, IsStandardSenml: false),
    ];

    /// <summary>Every unit known.</summary>
    public static IReadOnlyList<SourceUnit> Known => KnownUnits;

    /// <summary>Finds a unit by its symbol.</summary>
    public static bool TryFind(ReadOnlySpan<char> symbol, [NotNullWhen(true)] out SourceUnit? unit)
    {
        foreach (SourceUnit candidate in KnownUnits)
        {
            if (symbol.SequenceEqual(candidate.Symbol))
            {
                unit = candidate;
                return true;
            }
        }

        unit = null;
        return false;
    }

    /// <summary>A number in this unit as Pa or K.</summary>
    public double ToSi(double number) => (number + Offset) * Factor;
}
