namespace DriftWatch.Trends.Normalisation;

/// <summary>How long the gas temperature has stood on one value, and what the gas pressure did meanwhile.</summary>
/// <param name="ValueK">The value, K; NaN before the first.</param>
/// <param name="Since">First reading of that value, UTC.</param>
/// <param name="Count">Readings of that value in a row.</param>
/// <param name="Last">Last reading of that value, UTC.</param>
/// <param name="LowestPa">Lowest gas pressure meanwhile, Pa absolute.</param>
/// <param name="HighestPa">Highest gas pressure meanwhile, Pa absolute.</param>
/// <param name="RisePa">Greatest rise of the gas pressure meanwhile, from the lowest before it, Pa.</param>
/// <param name="StepK">Smallest step the temperature has made, K; 0 before the first.</param>
/// <param name="LongestS">Longest time it stood before it went on by its smallest step, s.</param>
public readonly record struct TemperatureWatchState(
    double ValueK, DateTimeOffset Since, int Count, DateTimeOffset Last, double LowestPa, double HighestPa,
    double RisePa = 0, double StepK = 0, double LongestS = 0);
