namespace DriftWatch.SamplePlant;

/// <summary>A logged reading beside the truth it was taken from.</summary>
public readonly record struct Sample(LoggedReading Reading, TrueState Truth);
