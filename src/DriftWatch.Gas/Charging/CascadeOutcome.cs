using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>How a vessel fares on a set of bottles, one after the other, each settled at one temperature.</summary>
/// <param name="Target">Absolute pressure wanted in the vessel.</param>
/// <param name="Vessel">The vessel afterwards.</param>
/// <param name="Uses">The bottles that gave gas, in the order used. A bottle not above the vessel's pressure gives none and is left out.</param>
public sealed record CascadeOutcome(AbsolutePressure Target, GasSpace Vessel, IReadOnlyList<BottleUse> Uses)
{
    /// <summary>Whether the target is reached by the bottles' own pressure; otherwise it takes fuller bottles or a booster.</summary>
    public bool IsReached => Vessel.Pressure == Target;

    /// <summary>Nitrogen that all bottles gave.</summary>
    public AmountOfGas Delivered => AmountOfGas.FromMoles(Uses.Sum(use => use.Delivered.Moles));

    /// <summary>One sentence for a job sheet; says plainly when the target can't be reached without a booster.</summary>
    public string Summary => IsReached
        ? $"{Target} is reached with {Uses.Count} bottle(s)."
        : $"{Target} can't be reached without a booster or fuller bottles: these end at {Vessel.Pressure}.";
}
