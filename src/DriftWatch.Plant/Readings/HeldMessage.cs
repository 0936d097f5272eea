namespace DriftWatch.Plant.Readings;

/// <summary>A message that waits for another one to be read by.</summary>
/// <param name="Number">Its number, once for each source.</param>
/// <param name="Content">All of it.</param>
public readonly record struct HeldMessage(long Number, ReadOnlyMemory<byte> Content);
