namespace DriftWatch.Trends.Vessels;

/// <summary>A pressure transducer as registered.</summary>
/// <param name="Kind">Whether it reads gauge or absolute pressure.</param>
/// <param name="RangeLowPa">Lower end of its range, Pa in its own kind.</param>
/// <param name="RangeHighPa">Upper end of its range, Pa in its own kind; above the lower end.</param>
/// <param name="StandardUncertaintyPa">
/// Standard uncertainty (k = 1) of its calibration, Pa; above 0. It is shared by all points of this sensor.
/// </param>
public sealed record PressureSensor(PressureKind Kind, double RangeLowPa, double RangeHighPa, double StandardUncertaintyPa);
