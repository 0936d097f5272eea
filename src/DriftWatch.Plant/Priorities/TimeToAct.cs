namespace DriftWatch.Plant.Priorities;

/// <summary>How much time is left to act in, in descending order.</summary>
public enum TimeToAct
{
    /// <summary>More than a fortnight.</summary>
    Weeks,

    /// <summary>More than two days, up to a fortnight.</summary>
    Days,

    /// <summary>Up to two days.</summary>
    Hours,
}
