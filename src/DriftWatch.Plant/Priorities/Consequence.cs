namespace DriftWatch.Plant.Priorities;

/// <summary>What it costs when nobody acts, in ascending order.</summary>
public enum Consequence
{
    /// <summary>Nothing is known to be wrong with the vessel.</summary>
    Minor,

    /// <summary>The vessel works, but not as it should.</summary>
    Moderate,

    /// <summary>The vessel does not do its work, or its separator may have failed.</summary>
    Severe,
}
