namespace DriftWatch.Plant.Priorities;

/// <summary>How soon a job or an alarm is to be seen to, in ascending order. Three are enough to tell apart (common practice).</summary>
public enum Priority
{
    /// <summary>With the ordinary work.</summary>
    Low,

    /// <summary>Before the ordinary work.</summary>
    Medium,

    /// <summary>Before all else.</summary>
    High,
}
