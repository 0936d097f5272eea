using DriftWatch.Gas.Uncertainty;

namespace DriftWatch.Trends.Windows;

/// <summary>What one contributor takes of the variance of a point.</summary>
/// <param name="Name">The contributor, as the uncertainty budget names it.</param>
/// <param name="Sharing">Whether its error is new with each point or shared by all points of the sensor.</param>
/// <param name="ShareOfVariance">Fraction of the combined variance, 0 to 1, to three digits.</param>
public readonly record struct UncertaintyShare(string Name, Sharing Sharing, double ShareOfVariance);
