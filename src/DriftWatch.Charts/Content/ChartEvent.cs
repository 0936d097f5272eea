namespace DriftWatch.Charts.Content;

/// <summary>An upright line with its label: a charge, a step, the moment of the assessment.</summary>
internal readonly record struct ChartEvent(double Day, string Label, string ShortLabel, bool IsAsOf);
