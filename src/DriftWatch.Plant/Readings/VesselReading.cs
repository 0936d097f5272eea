using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.Readings;

/// <summary>A reading and the vessel it belongs to.</summary>
public readonly record struct VesselReading(string VesselId, Reading Reading);
