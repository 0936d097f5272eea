using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>What is left of the raw readings of one signal and hour after their retention.</summary>
/// <param name="Signal">The signal.</param>
/// <param name="Hour">Begin of the hour, UTC.</param>
/// <param name="Count">Readings in it, at least 1.</param>
/// <param name="Mean">Their mean, in the unit of the readings.</param>
/// <param name="Lowest">The lowest.</param>
/// <param name="Highest">The highest.</param>
public readonly record struct HourlyRollUp(Signal Signal, DateTimeOffset Hour, int Count, double Mean, double Lowest, double Highest);
