namespace DriftWatch.Gas.Uncertainty;

/// <summary>What one contributor takes of the combined variance.</summary>
/// <param name="Contributor">The contributor.</param>
/// <param name="ShareOfVariance">
/// Fraction of the combined variance; the shares of a budget add up to 1. With correlated inputs each takes half of what it has in
/// common with another, and a share can then be below 0.
/// </param>
public readonly record struct ContributorShare(UncertaintyContributor Contributor, double ShareOfVariance);
