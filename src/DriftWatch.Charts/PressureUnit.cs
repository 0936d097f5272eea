namespace DriftWatch.Charts;

/// <summary>Unit of the pressure axis. All are read as gauge pressure on a chart.</summary>
public enum PressureUnit
{
    /// <summary>bar, 100 000 Pa.</summary>
    Bar,

    /// <summary>Megapascal.</summary>
    Megapascal,

    /// <summary>Kilopascal.</summary>
    Kilopascal,

    /// <summary>Pound-force per square inch.</summary>
    Psi,
}
