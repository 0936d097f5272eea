namespace DriftWatch.Plant.Charging;

/// <summary>What brings a vessel to its nominal precharge.</summary>
public enum ChargeStep
{
    /// <summary>Its precharge is not known: read the gauge first.</summary>
    ReadFirst,

    /// <summary>Nearly all gas is gone: look at the separator before any gas goes in.</summary>
    CheckSeparator,

    /// <summary>Gas goes in.</summary>
    Fill,

    /// <summary>Gas goes out.</summary>
    Bleed,

    /// <summary>It has its nominal precharge to a tenth of a percent.</summary>
    Leave,
}
