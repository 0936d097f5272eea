using DriftWatch.Plant.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>What came of one logger file.</summary>
/// <param name="File">Path of the file, where it lies now.</param>
/// <param name="Committed">What became of the readings of the file.</param>
/// <param name="Rejected">Rows, or parts of rows, not taken.</param>
/// <param name="Doubts">Doubts told of rows that were taken.</param>
/// <param name="Vessels">Vessels that got readings, by id.</param>
/// <param name="First">Instant of the earliest reading, UTC; null where there is none.</param>
/// <param name="Last">Instant of the latest reading, UTC; null where there is none.</param>
/// <param name="RejectsFile">File with the rejected rows, the doubts and their reasons; null where there is none.</param>
public sealed record ImportedFile(
    string File,
    CommittedReadings Committed,
    long Rejected,
    long Doubts,
    IReadOnlyList<string> Vessels,
    DateTimeOffset? First,
    DateTimeOffset? Last,
    string? RejectsFile)
{
    /// <summary>Readings that are in the store now, those it held before included.</summary>
    public long Readings => Committed.Entered + Committed.Repeated;

    /// <summary>What is to be said of it besides its readings: what was repeated, not taken, or doubtful; empty where all is new.</summary>
    public string Remarks => string.Concat(
        Remark(Committed.Repeated, "held already"),
        Remark(Committed.Differing, "held with another value, which stays"),
        Remark(Committed.TooOld, "past their retention"),
        Remark(Doubts, "doubts about the time"));

    /// <summary>Whether nothing of the file could be taken.</summary>
    public bool Failed => Vessels.Count == 0 && Rejected > 0;

    private static string Remark(long count, string what) => count == 0 ? "" : FormattableString.Invariant($"; {count} {what}");
}
