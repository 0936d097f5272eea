using System.Text.Json.Serialization;

namespace DriftWatch.Plant.Jobs;

/// <summary>The jobs that stand for a vessel, at most one of each cause.</summary>
/// <param name="Standing">The jobs, in the order in which they were raised.</param>
public sealed record LedgerState(IReadOnlyList<StandingJob> Standing)
{
    /// <summary>No job stands.</summary>
    public static LedgerState Start { get; } = new([]);

    /// <summary>Jobs that were declined and are not raised again for now, at most one of each cause.</summary>
    public IReadOnlyList<DeclinedJob> Declined { get; init; } = [];

    /// <summary>The next moment at which a declined job is raised again, UTC; null for none.</summary>
    [JsonIgnore]
    public DateTimeOffset? NextDue => Declined.Count == 0 ? null : Declined.Min(job => job.Until);

    /// <summary>The job that stands for a cause, or null.</summary>
    public StandingJob? Of(JobCause cause) => Standing.FirstOrDefault(standing => standing.Job.Cause == cause);

    /// <summary>Whether any job stands.</summary>
    [JsonIgnore]
    public bool HasStanding => Standing.Count > 0;
}
