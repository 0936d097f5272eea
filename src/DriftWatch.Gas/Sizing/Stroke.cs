namespace DriftWatch.Gas.Sizing;

/// <summary>Direction of one working stroke. The gas starts it settled at the shell's temperature.</summary>
public enum Stroke
{
    /// <summary>Fluid goes out: the gas expands from p2 to p1 and cools.</summary>
    Discharge,

    /// <summary>Fluid comes in: the gas is compressed from p1 to p2 and warms.</summary>
    Charge,
}
