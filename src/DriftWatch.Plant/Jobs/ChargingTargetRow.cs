namespace DriftWatch.Plant.Jobs;

/// <summary>Charging target at one gas temperature.</summary>
/// <param name="GasTemperatureCelsius">Gas temperature, degrees C.</param>
/// <param name="TargetBarGauge">Gauge pressure to charge to, bar.</param>
public sealed record ChargingTargetRow(double GasTemperatureCelsius, double TargetBarGauge);
