using System.Text.Json.Serialization;

namespace DriftWatch.Plant.Jobs;

/// <summary>The jobs that stand for a vessel, at most one of each cause.</summary>
/// <param name="Standing">The jobs, in the order in which they were raised.</param>
public sealed record LedgerState(IReadOnlyList<StandingJob> Standing)
{
    /// <summary>No job stands.</summary>
    public static LedgerState Start { get; } = new([]);

    /// <summary>The job that stands for a cause, or null.</summary>
    public StandingJob? Of(JobCause cause) => Standing.FirstOrDefault(standing => standing.Job.Cause == cause);

    /// <summary>Whether any job stands.</summary>
    [JsonIgnore]
    public bool HasStanding => Standing.Count > 0;
}
