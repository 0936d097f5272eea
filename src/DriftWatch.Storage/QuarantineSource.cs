namespace DriftWatch.Storage;

/// <summary>A source that sent messages which could not be read.</summary>
/// <param name="Source">Topic, or file and line.</param>
/// <param name="Count">How many were set aside, of which the newest are kept.</param>
/// <param name="Kept">The ones kept, newest first.</param>
public sealed record QuarantineSource(string Source, long Count, IReadOnlyList<Plant.Readings.QuarantinedMessage> Kept)
{
    /// <summary>Name under which the counts of sources that are no longer kept apart are added up.</summary>
    public const string Earlier = "(earlier sources)";
}
