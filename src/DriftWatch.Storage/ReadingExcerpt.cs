using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage;

/// <summary>Raw readings of a vessel out of a history.</summary>
/// <param name="Readings">The readings, in the order of <see cref="Reading.CompareTo"/>, each instant and signal once.</param>
/// <param name="Note">What a reader should know of where they come from, a sentence; null when there is nothing to say.</param>
public sealed record ReadingExcerpt(IReadOnlyList<Reading> Readings, string? Note = null);
