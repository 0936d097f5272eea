namespace DriftWatch.Acquisition.Door;

/// <summary>That messages of a source were refused because it sent too many.</summary>
/// <param name="Source">The source: a topic, the node of a Sparkplug topic, or empty for all topics that nobody registered.</param>
/// <param name="Count">How many, since the start.</param>
/// <param name="Last">When the last one came, UTC.</param>
public readonly record struct SourceRefusals(string Source, long Count, DateTimeOffset Last);
