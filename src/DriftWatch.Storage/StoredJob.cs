using DriftWatch.Plant.Jobs;

namespace DriftWatch.Storage;

/// <summary>A job on record.</summary>
/// <param name="Job">The job as it was raised.</param>
/// <param name="State">Whether it stands.</param>
/// <param name="Closed">Moment of the data that ended it, UTC; null while it stands.</param>
/// <param name="ClosedBecause">Why it ended; empty while it stands.</param>
/// <param name="End">How it ended; null while it stands.</param>
public sealed record StoredJob(Job Job, JobState State, DateTimeOffset? Closed, string ClosedBecause, JobEnd? End = null);
