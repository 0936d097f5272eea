namespace DriftWatch.Plant.Jobs;

/// <summary>What happens to a job.</summary>
public enum JobState
{
    /// <summary>Raised and standing.</summary>
    Open,

    /// <summary>Its cause has ended.</summary>
    Closed,
}
