namespace DriftWatch.Charts.Content;

/// <summary>The trend line at a day with the ends of its 95 % band, gauge pressure in the chart's unit.</summary>
internal readonly record struct BandPoint(double Day, double Level, double Low, double High);
