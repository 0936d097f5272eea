namespace DriftWatch.Plant.Readings;

/// <summary>
/// What has to be known of a source to read what it sends next, committed with the readings it was learnt from. What it holds is
/// the business of the one that reads the source.
/// </summary>
/// <param name="Source">The source.</param>
/// <param name="Birth">What seldom changes; null where it has not changed since the last commit.</param>
/// <param name="Progress">What each message changes.</param>
/// <param name="Held">Messages that cannot be read yet and were not held at the last commit; of all that is held, all of them.</param>
/// <param name="Released">Numbers of messages that were held at the last commit and are no more.</param>
public sealed record SourceMemory(
    string Source,
    ReadOnlyMemory<byte>? Birth,
    ReadOnlyMemory<byte> Progress,
    IReadOnlyList<HeldMessage> Held,
    IReadOnlyList<long> Released);
