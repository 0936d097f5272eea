namespace DriftWatch.Gas.Sizing;

/// <summary>
/// Highest ratio of the upper working pressure p2 to the precharge p0, both absolute, that the separator bears. Common practice (no
/// single source); the maker's figure for the vessel comes first.
/// </summary>
public static class PressureRatioLimit
{
    /// <summary>Limit of p2 / p0, a pure number; null for a piston, which bears any.</summary>
    /// <param name="type">Type of the accumulator.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such type.</exception>
    public static double? Highest(AccumulatorType type) => type switch
    {
        AccumulatorType.Bladder => 4,
        AccumulatorType.WeldedDiaphragm => 8,
        AccumulatorType.ScrewedDiaphragm => 10,
        AccumulatorType.Piston => null,
        _ => throw new ArgumentOutOfRangeException(nameof(type), type, "Give one of the types of accumulator."),
    };
}
