namespace DriftWatch.Plant.Alarms;

/// <summary>An alarm notice in the outbox of one channel.</summary>
/// <param name="Sequence">Order of entry.</param>
/// <param name="Notice">The notice.</param>
/// <param name="Tries">Failed tries so far.</param>
public sealed record AlarmOutboxEntry(long Sequence, AlarmNotice Notice, int Tries);
