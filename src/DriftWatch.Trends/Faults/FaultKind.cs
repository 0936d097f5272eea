namespace DriftWatch.Trends.Faults;

/// <summary>What is wrong with a signal.</summary>
public enum FaultKind
{
    /// <summary>Beyond the ends of its range: a broken or shorted loop, or a value the sensor cannot show (NAMUR NE 43).</summary>
    OutOfRange,

    /// <summary>It stands still while what it measures must have moved.</summary>
    Stuck,

    /// <summary>It scatters at rest far more than a sound transducer.</summary>
    Noise,

    /// <summary>It has fallen silent, or loses readings, while other signals of the vessel come in.</summary>
    DropOut,

    /// <summary>It looks like another unit than the registered one.</summary>
    UnitMixUp,

    /// <summary>It looks like gauge where absolute is registered, or the other way round.</summary>
    GaugeOrAbsolute,

    /// <summary>Two signals that must agree do not.</summary>
    Disagreement,

    /// <summary>The instants of the readings cannot be right.</summary>
    Clock,
}
