namespace DriftWatch.Study;

/// <summary>Days from the beginning of a leak to the call, on average.</summary>
/// <param name="OurDays">Of the verdict.</param>
/// <param name="BestDays">Of the best test, which knows everything but which of the two rates holds.</param>
public readonly record struct DelayFigures(double OurDays, double BestDays);
