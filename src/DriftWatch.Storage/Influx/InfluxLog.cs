using Microsoft.Extensions.Logging;

namespace DriftWatch.Storage.Influx;

/// <summary>What the history in InfluxDB logs; event numbers from 4100.</summary>
internal static partial class InfluxLog
{
    [LoggerMessage(4100, LogLevel.Error, "InfluxDB takes no points: {Reason} {Waiting} points wait in the spool; next attempt in {Seconds} s")]
    public static partial void WriteFailed(this ILogger logger, string reason, long waiting, double seconds);

    [LoggerMessage(4101, LogLevel.Information, "InfluxDB takes points again")]
    public static partial void WriteResumed(this ILogger logger);

    [LoggerMessage(4102, LogLevel.Error, "InfluxDB refuses a point for good: {Reason} The store keeps it; the point: {Point}")]
    public static partial void PointRefused(this ILogger logger, string reason, string point);

    [LoggerMessage(4103, LogLevel.Error, "The spool for InfluxDB waits for the store: {Reason} Next attempt in {Seconds} s")]
    public static partial void SpoolWaits(this ILogger logger, string reason, double seconds);
}
