namespace DriftWatch.Plant.Readings;

/// <summary>A message (or file row) that could not be read, set aside with its reason.</summary>
/// <param name="Source">Topic, or file and line.</param>
/// <param name="Arrived">When it came, UTC.</param>
/// <param name="Reason">What is wrong, where, and how to mend it.</param>
/// <param name="Payload">The bytes as they came; of one that was kept, the first <see cref="LongestSample"/> of them.</param>
public sealed record QuarantinedMessage(string Source, DateTimeOffset Arrived, string Reason, ReadOnlyMemory<byte> Payload)
{
    /// <summary>How many bytes of a payload are kept: enough to see what it is, while large ones cannot fill the disk.</summary>
    public const int LongestSample = 4096;

    /// <summary>Length of the whole payload, bytes.</summary>
    public long Length { get; init; } = Payload.Length;

    /// <summary>Digest (SHA-256) of the whole payload, in hexadecimal; null of one that has not been kept yet.</summary>
    public string? Digest { get; init; }

    /// <summary>
    /// Whether the same reason and bytes from the same source again are not counted again: the same file imported twice, rather
    /// than a source that says the same again and again. Default false.
    /// </summary>
    public bool CountsOnce { get; init; }
}
