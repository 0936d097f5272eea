namespace DriftWatch.Gas.Uncertainty;

/// <summary>What is known of an input quantity around its estimate (JCGM 100, 4.3; JCGM 101, 6.4).</summary>
public enum ProbabilityDistribution
{
    /// <summary>Normal (Gaussian).</summary>
    Normal,

    /// <summary>Equally probable between two limits, nothing outside.</summary>
    Rectangular,

    /// <summary>Rising from two limits to the middle, nothing outside.</summary>
    Triangular,

    /// <summary>Arc sine (U-shaped): a quantity that swings as a sine between two limits.</summary>
    ArcSine,
}
