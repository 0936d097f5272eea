namespace DriftWatch.Gas.Sizing;

/// <summary>How gas and fluid are kept apart, as far as it limits the working pressures.</summary>
public enum AccumulatorType
{
    /// <summary>An elastomer bladder.</summary>
    Bladder,

    /// <summary>A diaphragm in a welded shell.</summary>
    WeldedDiaphragm,

    /// <summary>A diaphragm clamped in a screwed shell.</summary>
    ScrewedDiaphragm,

    /// <summary>A sealed piston.</summary>
    Piston,
}
