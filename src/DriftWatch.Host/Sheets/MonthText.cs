using System.Globalization;

namespace DriftWatch.Host.Sheets;

/// <summary>A month as people write it: 2026-10.</summary>
internal static class MonthText
{
    /// <summary>What a wrong one is told.</summary>
    public const string Remedy = "Give a month as year and month, like 2026-10.";

    public static bool TryRead(string text, out (int Year, int Month) month)
    {
        bool good = DateOnly.TryParseExact(text, "yyyy-MM", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day) && day.Year <= 9998;
        month = (day.Year, day.Month);
        return good;
    }
}
