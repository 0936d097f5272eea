namespace DriftWatch.SamplePlant;

/// <summary>What is really in the vessel at one sample: no noise, no offset, no lag of a sensor.</summary>
/// <param name="Fluid">What the fluid side does.</param>
/// <param name="MinutesInState">Since when, minutes.</param>
/// <param name="GasPressurePa">Absolute.</param>
/// <param name="GasTemperatureK">Mean of the gas.</param>
/// <param name="SensorTemperatureK">The same behind the lag of the temperature sensor, before offset and noise.</param>
/// <param name="AmountMol">Nitrogen in the vessel.</param>
/// <param name="GasVolumeM3">Volume the gas has when the fluid side is released.</param>
public readonly record struct TrueState(
    FluidState Fluid, int MinutesInState, double GasPressurePa, double GasTemperatureK, double SensorTemperatureK, double AmountMol, double GasVolumeM3);
