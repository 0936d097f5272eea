namespace DriftWatch.Gas.Quantities;

/// <summary>The molar gas constant for ideal-gas conversions.</summary>
public static class MolarGasConstant
{
    /// <summary>
    /// Exact in the SI since 2019, J/(mol K): product of the Boltzmann and Avogadro constants. The nitrogen equation of state
    /// keeps the older value it was fitted with.
    /// </summary>
    public const double JoulesPerMoleKelvin = 8.31446261815324;
}
