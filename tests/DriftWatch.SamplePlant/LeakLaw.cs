namespace DriftWatch.SamplePlant;

/// <summary>How a leak goes on.</summary>
public enum LeakLaw
{
    /// <summary>The same mass each month.</summary>
    ConstantMass,

    /// <summary>In proportion to the gas that is left, as permeation does.</summary>
    FirstOrder,
}
