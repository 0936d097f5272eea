namespace DriftWatch.Trends.Windows;

/// <summary>What became of a window.</summary>
public enum WindowStanding
{
    /// <summary>Not decided yet: later windows will tell. Kept out of the fit.</summary>
    Ambiguous,

    /// <summary>It shows the precharge: its point is in the trend.</summary>
    Accepted,

    /// <summary>It does not show the precharge; the reason says why. Kept out of the fit.</summary>
    Rejected,
}
