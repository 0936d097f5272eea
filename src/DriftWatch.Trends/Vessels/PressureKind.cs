namespace DriftWatch.Trends.Vessels;

/// <summary>What a pressure is measured against.</summary>
public enum PressureKind
{
    /// <summary>Against the surrounding air.</summary>
    Gauge,

    /// <summary>Against vacuum.</summary>
    Absolute,
}
