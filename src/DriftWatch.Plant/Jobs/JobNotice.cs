using System.Globalization;
using DriftWatch.Plant.Notices;

namespace DriftWatch.Plant.Jobs;

/// <summary>One message to the maintenance queue: a job as it is now.</summary>
/// <param name="Job">The job; its revision rises with each change of the job.</param>
/// <param name="State">Open or closed.</param>
/// <param name="At">Moment of the data that led to this state, UTC.</param>
/// <param name="Why">Why it was closed or renewed; empty when it is raised.</param>
public sealed record JobNotice(Job Job, JobState State, DateTimeOffset At, string Why) : INotice
{
    /// <summary>How it came to its end; null while it is open.</summary>
    public JobEnd? End { get; init; }

    /// <summary>Key by which a receiver tells a repeated notice from a new one.</summary>
    public string Key => string.Create(
        CultureInfo.InvariantCulture, $"{Job.Key}/{(State == JobState.Open ? "open" : "closed")}/{Job.Revision}");

    /// <inheritdoc/>
    string INotice.VesselId => Job.VesselId;

    /// <summary>Whether this notice only proves a channel: no vessel stands behind it and no work is asked for.</summary>
    public bool IsTest { get; init; }
}
