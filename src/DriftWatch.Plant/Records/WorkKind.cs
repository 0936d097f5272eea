namespace DriftWatch.Plant.Records;

/// <summary>What was done to the gas side.</summary>
public enum WorkKind
{
    /// <summary>Gas was filled or bled; the values are those the vessel was left with.</summary>
    Charge,

    /// <summary>The precharge was looked at and left as it was.</summary>
    Check,

    /// <summary>A gas-side transducer was replaced, moved or calibrated anew; the gas was left as it was.</summary>
    TransducerChange,
}
