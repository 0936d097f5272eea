using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>The wanted pressure can't be reached from the bottle by its own pressure: it takes a fuller bottle or a booster.</summary>
public sealed class BoosterNeededException : InvalidOperationException
{
    /// <summary>States what was wanted and what the bottle gives.</summary>
    /// <param name="wanted">Pressure wanted in the vessel.</param>
    /// <param name="reachable">Pressure at which bottle and vessel meet, both settled at the vessel's temperature.</param>
    public BoosterNeededException(AbsolutePressure wanted, AbsolutePressure reachable)
        : base($"{wanted} can't be reached without a booster: bottle and vessel meet at {reachable}. Take a fuller bottle, several in cascade, or a booster.")
    {
        Wanted = wanted;
        Reachable = reachable;
    }

    /// <summary>Pressure wanted in the vessel.</summary>
    public AbsolutePressure Wanted { get; }

    /// <summary>Pressure at which bottle and vessel meet, both settled at the vessel's temperature.</summary>
    public AbsolutePressure Reachable { get; }
}
