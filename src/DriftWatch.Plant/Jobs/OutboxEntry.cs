namespace DriftWatch.Plant.Jobs;

/// <summary>A notice in the outbox of one channel.</summary>
/// <param name="Sequence">Order of entry.</param>
/// <param name="Notice">The notice.</param>
/// <param name="Tries">Failed tries so far.</param>
public sealed record OutboxEntry(long Sequence, JobNotice Notice, int Tries);
