namespace DriftWatch.Plant.Jobs;

/// <summary>The job that stands for a vessel.</summary>
/// <param name="Open">The job, or null.</param>
/// <param name="Segment">Number of the trend segment it was raised in; -1 for none.</param>
public sealed record LedgerState(Job? Open, int Segment)
{
    /// <summary>No job stands.</summary>
    public static LedgerState Start { get; } = new(null, -1);
}
