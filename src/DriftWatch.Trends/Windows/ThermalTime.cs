namespace DriftWatch.Trends.Windows;

/// <summary>A time constant of a vessel and how well it is known.</summary>
/// <param name="Seconds">Value, s; 0 or above.</param>
/// <param name="UncertaintySeconds">Standard uncertainty, s; above 0.</param>
public readonly record struct ThermalTime(double Seconds, double UncertaintySeconds);
