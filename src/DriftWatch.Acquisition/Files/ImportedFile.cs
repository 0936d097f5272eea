namespace DriftWatch.Acquisition.Files;

/// <summary>What came of one logger file.</summary>
/// <param name="File">Path of the file, where it lies now.</param>
/// <param name="Readings">Readings committed, those already held included.</param>
/// <param name="Rejected">Rows, or parts of rows, not taken.</param>
/// <param name="Vessels">Vessels that got readings, by id.</param>
/// <param name="First">Instant of the earliest reading, UTC; null where there is none.</param>
/// <param name="Last">Instant of the latest reading, UTC; null where there is none.</param>
/// <param name="RejectsFile">File with the rejected rows and their reasons; null where there is none.</param>
public sealed record ImportedFile(
    string File, long Readings, long Rejected, IReadOnlyList<string> Vessels, DateTimeOffset? First, DateTimeOffset? Last, string? RejectsFile)
{
    /// <summary>Whether nothing of the file could be taken.</summary>
    public bool Failed => Readings == 0 && Rejected > 0;
}
