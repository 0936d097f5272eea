namespace DriftWatch.Trends.Tracking;

/// <summary>Readings that stand so far before all others that the clock was not set then, or the vessel was not in use yet: left out.</summary>
/// <param name="First">First of them, UTC.</param>
/// <param name="Last">Last of them, UTC.</param>
public sealed record StrayReadings(DateTimeOffset First, DateTimeOffset Last);
