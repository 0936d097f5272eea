namespace DriftWatch.Trends.Windows;

/// <summary>What shows that the fluid side was released during a precharge window.</summary>
public enum WindowEvidence
{
    /// <summary>The fluid-side pressure was near zero.</summary>
    FluidPressure,

    /// <summary>The 'depressurised' contact was closed.</summary>
    Contact,

    /// <summary>Only the gas side: a resting plateau below the working pressures.</summary>
    RestingPlateau,
}
