namespace DriftWatch.Plant.Jobs;

/// <summary>One message to the maintenance queue: a job as it is now.</summary>
/// <param name="Job">The job.</param>
/// <param name="State">Open or closed.</param>
/// <param name="At">Moment of the data that led to this state, UTC.</param>
/// <param name="Why">Why it was closed; empty while it is open.</param>
public sealed record JobNotice(Job Job, JobState State, DateTimeOffset At, string Why)
{
    /// <summary>Key by which a receiver tells a repeated notice from a new one.</summary>
    public string Key => $"{Job.Key}/{(State == JobState.Open ? "open" : "closed")}";

    /// <summary>Whether this notice only proves a channel: no vessel stands behind it and no work is asked for.</summary>
    public bool IsTest { get; init; }
}
