namespace DriftWatch.Plant.Notices;

/// <summary>A notice in the outbox of one channel.</summary>
/// <param name="Sequence">Order of entry.</param>
/// <param name="Notice">The notice.</param>
/// <param name="Tries">Failed tries so far, for whatever reason.</param>
/// <param name="Refusals">Those of them that count against the notice itself.</param>
public sealed record OutboxEntry(long Sequence, INotice Notice, int Tries, int Refusals = 0);
