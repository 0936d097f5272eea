namespace DriftWatch.Gas.Uncertainty;

/// <summary>An interval around the estimate with a stated coverage (JCGM 100, 6 and G.4).</summary>
/// <param name="CoverageProbability">Fraction of values meant to lie inside, 0 to 1.</param>
/// <param name="CoverageFactor">k: Student's t for the effective degrees of freedom, rounded down.</param>
/// <param name="HalfWidth">U = k times the combined standard uncertainty, in the unit of the result.</param>
public readonly record struct ExpandedUncertainty(double CoverageProbability, double CoverageFactor, double HalfWidth);
