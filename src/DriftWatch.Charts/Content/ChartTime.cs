using System.Globalization;

namespace DriftWatch.Charts.Content;

/// <summary>Instants as days since 1970-01-01 UTC, the coordinate of the time axis.</summary>
internal static class ChartTime
{
    private static readonly double LastDay = Days(DateTimeOffset.MaxValue) - 1;

    public static double Days(DateTimeOffset instant) => (instant - DateTimeOffset.UnixEpoch).TotalDays;

    public static DateTimeOffset Instant(double days) =>
        DateTimeOffset.UnixEpoch.AddDays(Math.Clamp(days, Days(DateTimeOffset.MinValue), LastDay));

    /// <summary>A day ahead, no finer than a forecast so far off deserves: day, beyond 2 years month, beyond 10 years year.</summary>
    public static string Ahead(DateTimeOffset instant, DateTimeOffset asOf) =>
        instant.UtcDateTime.ToString(
            (instant - asOf).TotalDays switch { > 3652.5 => "yyyy", > 730.5 => "yyyy-MM", _ => "yyyy-MM-dd" },
            CultureInfo.InvariantCulture);
}
