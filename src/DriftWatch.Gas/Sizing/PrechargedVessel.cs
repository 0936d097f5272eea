using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Sizing;

/// <summary>A vessel and its charge of nitrogen. <c>default</c> is refused by every computation.</summary>
/// <param name="GasVolume">Gas volume V0 with the fluid side empty, above 0.</param>
/// <param name="PrechargeAtReference">Precharge, absolute, at the reference temperature, above 0 to 70 MPa.</param>
/// <param name="Reference">Reference temperature of the precharge, 233 to 373.15 K; the trade states 20 degrees C.</param>
public readonly record struct PrechargedVessel(GasVolume GasVolume, AbsolutePressure PrechargeAtReference, GasTemperature Reference);
