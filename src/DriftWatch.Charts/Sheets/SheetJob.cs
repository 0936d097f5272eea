using DriftWatch.Plant.Jobs;

namespace DriftWatch.Charts.Sheets;

/// <summary>A job as a sheet lists it.</summary>
/// <param name="Job">The job.</param>
/// <param name="Closed">When it was closed, UTC; null while it stands.</param>
/// <param name="End">How it ended; null while it stands.</param>
public sealed record SheetJob(Job Job, DateTimeOffset? Closed, JobEnd? End);
