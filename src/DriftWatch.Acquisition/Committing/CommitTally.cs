using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Committing;

/// <summary>What has been committed since the start, and what keeps the next commit from succeeding.</summary>
/// <param name="Messages">Messages whose content has been committed.</param>
/// <param name="Readings">Readings that are held by it, those held already included.</param>
/// <param name="Quarantined">Messages set aside, whole or in part.</param>
/// <param name="Fault">Why the commit under way does not succeed; null when all is well.</param>
public sealed record CommitTally(long Messages, long Readings, long Quarantined, string? Fault)
{
    /// <summary>Readings not kept, as another value is held at their instant; samples of them are set aside.</summary>
    public long Differing { get; init; }

    /// <summary>Readings not kept, as the raw readings of their day are past their retention; samples of them are set aside.</summary>
    public long TooOld { get; init; }

    /// <summary>Messages refused because their source sent too many.</summary>
    public long Refused { get; init; }

    /// <summary>The sources they came from.</summary>
    public IReadOnlyList<SourceRefusals> Refusals { get; init; } = [];

    /// <summary>
    /// From the arrival of the oldest message of the last commit to the commit; while one does not succeed, to its last attempt.
    /// </summary>
    public TimeSpan Lag { get; init; }

    /// <summary>Nothing yet.</summary>
    public static CommitTally None { get; } = new(0, 0, 0, null);
}
