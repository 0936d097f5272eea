namespace DriftWatch.Charts.Drawing;

/// <summary>A place on an axis and what is written there.</summary>
internal readonly record struct AxisTick(double Position, string Label);
