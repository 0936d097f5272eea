namespace DriftWatch.Plant.Jobs;

/// <summary>What a maintenance queue says of a job.</summary>
public enum AnswerKind
{
    /// <summary>Somebody has taken it on.</summary>
    Taken,

    /// <summary>The work is done.</summary>
    Done,

    /// <summary>It will not be done.</summary>
    Rejected,
}
