namespace DriftWatch.Gas.Sizing;

/// <summary>What the accumulator is there for; it sets how far the precharge lies below the working pressure.</summary>
public enum Duty
{
    /// <summary>Stores fluid between p1 and p2.</summary>
    EnergyStorage,

    /// <summary>Smooths the pulsation of a pump around a mean pressure.</summary>
    PulsationDamping,

    /// <summary>Takes pressure shocks on top of a normal pressure.</summary>
    ShockAbsorption,
}
