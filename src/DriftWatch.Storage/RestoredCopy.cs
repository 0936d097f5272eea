namespace DriftWatch.Storage;

/// <summary>What came of putting a copy back.</summary>
/// <param name="Report">What a look through it found, once it had this version's schema. Where it found a fault, the copy is not put back.</param>
/// <param name="FormerSchema">The schema that the copy itself has.</param>
/// <param name="Before">Where what was there stands now; null when nothing was, or the copy is not put back.</param>
public sealed record RestoredCopy(StoreReport Report, int FormerSchema, string? Before);
