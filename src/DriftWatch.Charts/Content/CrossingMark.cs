namespace DriftWatch.Charts.Content;

/// <summary>Where the forecast meets the lower limit, days; an end is null when it is open.</summary>
internal readonly record struct CrossingMark(double Day, double? Earliest, double? Latest, string Label);
