namespace DriftWatch.Plant.Jobs;

/// <summary>A job that its queue has declined: what would have to be different for it to be raised again.</summary>
/// <param name="Declined">The job as it stood.</param>
/// <param name="Until">When it is raised again though nothing has changed, UTC.</param>
public sealed record DeclinedJob(StandingJob Declined, DateTimeOffset Until);
