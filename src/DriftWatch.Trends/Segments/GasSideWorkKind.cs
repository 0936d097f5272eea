namespace DriftWatch.Trends.Segments;

/// <summary>What was done to the gas side.</summary>
public enum GasSideWorkKind
{
    /// <summary>Gas was filled or bled: the amount of gas is another.</summary>
    Charge,

    /// <summary>A transducer was replaced, moved or calibrated anew: the gas is the same, its readings are not.</summary>
    TransducerChange,
}
