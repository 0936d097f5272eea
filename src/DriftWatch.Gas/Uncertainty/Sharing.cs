namespace DriftWatch.Gas.Uncertainty;

/// <summary>Whether the same error sits in all points of a sensor, or each point has its own.</summary>
public enum Sharing
{
    /// <summary>Each point has its own error: it blurs a trend, and averages out.</summary>
    Random,

    /// <summary>All points of the sensor have the same error: it shifts the level, leaves the trend, and no number of points removes it.</summary>
    Shared,
}
