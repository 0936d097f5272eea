using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>What one bottle gives in a cascade.</summary>
/// <param name="Before">The bottle before.</param>
/// <param name="After">The bottle afterwards, settled.</param>
/// <param name="Delivered">Nitrogen it gave.</param>
/// <param name="VesselAfter">The vessel after this bottle, settled.</param>
public readonly record struct BottleUse(GasSpace Before, GasSpace After, AmountOfGas Delivered, GasSpace VesselAfter);
