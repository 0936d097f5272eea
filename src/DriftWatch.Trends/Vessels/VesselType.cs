namespace DriftWatch.Trends.Vessels;

/// <summary>How gas and fluid are kept apart.</summary>
public enum VesselType
{
    /// <summary>An elastomer bladder holds the gas.</summary>
    Bladder,

    /// <summary>A sealed piston parts gas and fluid.</summary>
    Piston,

    /// <summary>A clamped diaphragm parts gas and fluid.</summary>
    Diaphragm,
}
