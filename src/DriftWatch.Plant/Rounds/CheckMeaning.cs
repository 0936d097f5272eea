namespace DriftWatch.Plant.Rounds;

/// <summary>What a check by hand means for the vessel, its uncertainty (k = 2) taken into account.</summary>
public enum CheckMeaning
{
    /// <summary>Below the lower limit, by more than the uncertainty.</summary>
    BelowLowerLimit,

    /// <summary>At the lower limit: the uncertainty reaches across it.</summary>
    AtLowerLimit,

    /// <summary>Between the limits.</summary>
    WithinLimits,

    /// <summary>At the upper limit: the uncertainty reaches across it.</summary>
    AtUpperLimit,

    /// <summary>Above the upper limit, by more than the uncertainty.</summary>
    AboveUpperLimit,
}
