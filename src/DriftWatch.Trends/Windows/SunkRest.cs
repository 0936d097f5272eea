namespace DriftWatch.Trends.Windows;

/// <summary>A rest during which fluid seeped out of the vessel.</summary>
/// <param name="Rest">Number of the rest.</param>
/// <param name="Since">First instant at which it was seen, UTC.</param>
public readonly record struct SunkRest(long Rest, DateTimeOffset Since);
