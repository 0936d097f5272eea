namespace DriftWatch.Plant.Jobs;

/// <summary>Why a job stands, and since when.</summary>
/// <param name="Cause">Why.</param>
/// <param name="Raised">The moment of the data that raised it, UTC.</param>
public readonly record struct StandingCause(JobCause Cause, DateTimeOffset Raised);
