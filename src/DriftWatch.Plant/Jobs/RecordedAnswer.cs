namespace DriftWatch.Plant.Jobs;

/// <summary>An answer on record.</summary>
/// <param name="Sequence">Order in which answers were recorded; 1 or more.</param>
/// <param name="Answer">The answer.</param>
/// <param name="Via">The way it came.</param>
/// <param name="Authority">What vouches for it: a signature, or the name by which the broker knows the sender.</param>
/// <param name="Received">When it was recorded, UTC.</param>
public sealed record RecordedAnswer(long Sequence, JobAnswer Answer, string Via, string Authority, DateTimeOffset Received);
