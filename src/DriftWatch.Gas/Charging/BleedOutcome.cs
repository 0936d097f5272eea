using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>A vessel just bled: what the gauge shows at once, gas cold, and where it settles.</summary>
/// <param name="Released">Nitrogen let out.</param>
/// <param name="PressureNow">Absolute pressure at the end of a bleed too fast for heat exchange.</param>
/// <param name="TemperatureNow">Gas temperature at that moment.</param>
/// <param name="Settled">The vessel once its gas has the temperature it had before.</param>
public readonly record struct BleedOutcome(
    AmountOfGas Released, AbsolutePressure PressureNow, GasTemperature TemperatureNow, GasSpace Settled);
