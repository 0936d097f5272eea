using System.Globalization;

namespace DriftWatch.Trends.Verdicts;

/// <summary>The day of an instant as sentences, documents and charts write it: year-month-day, UTC.</summary>
public static class DayText
{
    /// <summary>The day.</summary>
    public static string Of(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>The day, or other words where there is none.</summary>
    public static string Of(DateTimeOffset? instant, string otherwise) => instant is { } day ? Of(day) : otherwise;
}
