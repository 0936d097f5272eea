namespace DriftWatch.Storage;

/// <summary>How many readings the store holds of a vessel.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Count">Readings of all its signals; 0 or more.</param>
/// <param name="Earliest">Instant of the earliest, UTC; null when there is none.</param>
/// <param name="Latest">Instant of the latest, UTC; null when there is none.</param>
public sealed record VesselReadingCount(string VesselId, long Count, DateTimeOffset? Earliest, DateTimeOffset? Latest);
