namespace DriftWatch.Trends.Vessels;

/// <summary>A gas-temperature transducer as registered.</summary>
/// <param name="RangeLowK">Lower end of its range, K.</param>
/// <param name="RangeHighK">Upper end of its range, K; above the lower end.</param>
/// <param name="StandardUncertaintyK">
/// Standard uncertainty (k = 1) of its calibration, K; above 0. It is shared by all points of this sensor.
/// </param>
public sealed record TemperatureSensor(double RangeLowK, double RangeHighK, double StandardUncertaintyK);
