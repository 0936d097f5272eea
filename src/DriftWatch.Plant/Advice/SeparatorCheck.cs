using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Advice;

/// <summary>How a failed separator shows itself at the vessel (common practice; the maker's instructions come first).</summary>
public static class SeparatorCheck
{
    /// <summary>What to look for.</summary>
    /// <param name="type">Kind of separator.</param>
    public static string Signs(VesselType type) => type switch
    {
        VesselType.Bladder => "Look for fluid at the gas valve and for gas in the fluid: signs of a torn bladder.",
        VesselType.Diaphragm => "Look for fluid at the gas valve and for gas in the fluid: signs of a torn diaphragm.",
        _ => "Look for fluid at the gas valve and for gas in the fluid: signs of worn piston seals.",
    };

    /// <summary>What comes before any charge of a vessel that has nearly lost its gas.</summary>
    /// <param name="type">Kind of separator.</param>
    public static string BeforeCharging(VesselType type) =>
        $"Nearly all gas is gone. Do not charge yet: {char.ToLowerInvariant(Signs(type)[0])}{Signs(type)[1..]} If it has failed, it is replaced by licensed persons to the maker's instructions.";
}
