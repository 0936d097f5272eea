namespace DriftWatch.Plant.Jobs;

/// <summary>A job that stands, with what its next change is measured against.</summary>
/// <param name="Job">The job as it was told last.</param>
/// <param name="Segment">Number of the trend segment it was raised in; -1 for none.</param>
/// <param name="Earliest">Earliest credible crossing of the lower limit that it tells, UTC; null for none.</param>
public sealed record StandingJob(Job Job, int Segment, DateTimeOffset? Earliest);
