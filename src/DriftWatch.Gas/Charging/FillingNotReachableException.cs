using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// The wanted pressure can't be reached from the bottle by its own pressure: not at all, then it takes a booster or a fuller bottle, or
/// not so fast, because the bottle's gas has cooled.
/// </summary>
public sealed class FillingNotReachableException : InvalidOperationException
{
    /// <summary>States what was wanted and what the bottle gives.</summary>
    /// <param name="wanted">Pressure wanted in the vessel.</param>
    /// <param name="reachable">Pressure at which bottle and vessel meet, both settled at the vessel's temperature.</param>
    public FillingNotReachableException(AbsolutePressure wanted, AbsolutePressure reachable)
        : base(reachable.Pascals < wanted.Pascals
            ? $"{wanted} can't be reached without a booster: bottle and vessel meet at {reachable}. Take a fuller bottle, several in cascade, or a booster."
            : $"{wanted} can't be reached so fast: the bottle's gas has cooled too far. Fill slower or wait; settled, bottle and vessel meet at {reachable}.")
    {
        Wanted = wanted;
        Reachable = reachable;
    }

    /// <summary>Pressure wanted in the vessel.</summary>
    public AbsolutePressure Wanted { get; }

    /// <summary>Pressure at which bottle and vessel meet, both settled at the vessel's temperature.</summary>
    public AbsolutePressure Reachable { get; }

    /// <summary>Whether it takes a booster or a fuller bottle; otherwise a slower filling does.</summary>
    public bool NeedsBooster => Reachable.Pascals < Wanted.Pascals;
}
