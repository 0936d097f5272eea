using DriftWatch.Trends.Readings;

namespace DriftWatch.Host.Web.Api;

/// <summary>A raw reading: Pa (gauge or absolute as the sensor is registered), K, or 1/0 for a contact.</summary>
internal sealed record ReadingData(DateTimeOffset Instant, Signal Signal, double Value);
