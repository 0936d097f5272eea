namespace DriftWatch.Storage;

/// <summary>What a look through a whole store found.</summary>
/// <param name="Schema">Its schema, as the number of its last step.</param>
/// <param name="Vessels">Vessels known.</param>
/// <param name="Readings">Raw readings, in rows and blocks; 0 where records were not read.</param>
/// <param name="Blocks">Packed days; 0 where records were not read.</param>
/// <param name="Windows">Precharge windows.</param>
/// <param name="Jobs">Jobs, open and closed.</param>
/// <param name="Faults">What is wrong, a line each; empty when nothing is.</param>
public sealed record StoreReport(int Schema, long Vessels, long Readings, long Blocks, long Windows, long Jobs, IReadOnlyList<string> Faults)
{
    /// <summary>Whether each record was read. Not so of a store of an older schema: pages, indices and references only.</summary>
    public bool RecordsRead { get; init; } = true;
}
