namespace DriftWatch.Plant.Readings;

/// <summary>A message (or file row) that could not be read, set aside with its reason.</summary>
/// <param name="Source">Topic, or file and line.</param>
/// <param name="Arrived">When it came, UTC.</param>
/// <param name="Reason">What is wrong, where, and how to mend it.</param>
/// <param name="Payload">The bytes as they came.</param>
public sealed record QuarantinedMessage(string Source, DateTimeOffset Arrived, string Reason, ReadOnlyMemory<byte> Payload);
