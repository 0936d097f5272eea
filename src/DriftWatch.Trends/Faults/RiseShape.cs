namespace DriftWatch.Trends.Faults;

/// <summary>Shape of a precharge that rises.</summary>
public enum RiseShape
{
    /// <summary>The windows do not tell yet.</summary>
    NotTold,

    /// <summary>Steady climb: fluid gets into the gas side.</summary>
    FluidInGasSide,

    /// <summary>One step: a charge that nobody recorded.</summary>
    UnrecordedCharge,
}
