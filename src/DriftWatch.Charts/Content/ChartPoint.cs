namespace DriftWatch.Charts.Content;

/// <summary>A window as it is drawn: day, gauge pressure in the chart's unit, half-width of its random 95 % interval.</summary>
internal readonly record struct ChartPoint(double Day, double Value, double HalfWidth95);
