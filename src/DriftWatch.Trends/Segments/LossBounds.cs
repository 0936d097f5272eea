using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Segments;

/// <summary>How fast and how far a vessel loses gas by leakage, before its own windows tell.</summary>
/// <param name="AllowedPaPerSecond">Allowed loss, Pa/s; above 0.</param>
/// <param name="AmbientPa">Pressure around the vessel, Pa absolute: gas leaks down to it and no further.</param>
internal readonly record struct LossBounds(double AllowedPaPerSecond, double AmbientPa)
{
    /// <summary>
    /// A leak that is faster than this many times the allowed loss shows as a sudden loss between windows that lie far apart; a slower one
    /// as a trend, from the first windows on (by choice: a sudden loss of the same size waits for a trend then).
    /// </summary>
    private const double MostOverAllowed = 5;

    /// <summary>Those of a vessel.</summary>
    public static LossBounds Of(VesselSpecification vessel) => new(vessel.AllowedLossPaPerSecond, vessel.Ambient.Pascals);

    /// <summary>What a leak may have taken in a time of which nothing is known, Pa.</summary>
    public double MostBetween(double seconds) => MostOverAllowed * AllowedPaPerSecond * Math.Max(0, seconds);
}
