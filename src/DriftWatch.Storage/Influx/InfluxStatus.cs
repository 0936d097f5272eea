namespace DriftWatch.Storage.Influx;

/// <summary>How the writing to InfluxDB stands.</summary>
/// <param name="Written">Points written since the start, those written again included.</param>
/// <param name="Refused">Points refused for good since the start.</param>
/// <param name="Fault">Why the write under way does not succeed; null when all is well.</param>
public sealed record InfluxStatus(long Written, long Refused, string? Fault);
