namespace DriftWatch.Storage;

/// <summary>Notices that wait for a channel.</summary>
/// <param name="Channel">Name of the channel.</param>
/// <param name="Count">How many, at least 1.</param>
/// <param name="OldestSequence">Sequence of the oldest.</param>
public readonly record struct WaitingNotices(string Channel, long Count, long OldestSequence);
