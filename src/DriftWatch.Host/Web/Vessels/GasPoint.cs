namespace DriftWatch.Host.Web.Vessels;

/// <summary>State of the gas: temperature, K, and pressure, Pa gauge.</summary>
public readonly record struct GasPoint(double TemperatureK, double GaugePa);
