namespace DriftWatch.Trends.Faults;

/// <summary>What the current of a loop says (NAMUR NE 43).</summary>
public enum LoopState
{
    /// <summary>A measured value.</summary>
    Measuring,

    /// <summary>At its end: the true value lies beyond what can be shown.</summary>
    Saturated,

    /// <summary>No measured value: the loop signals a failure, is broken or shorted.</summary>
    Failed,
}
