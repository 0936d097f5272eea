using System.Globalization;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>A window is known by its vessel and the instant at which it begins; this is that instant in an address.</summary>
internal static class WindowId
{
    private const string Format = "yyyyMMdd'T'HHmmss.FFFFFFF'Z'";

    public static string Of(PrechargeWindow window) => window.Start.UtcDateTime.ToString(Format, CultureInfo.InvariantCulture);

    /// <summary>The window of this id; null when there is none.</summary>
    public static PrechargeWindow? Find(IReadOnlyList<PrechargeWindow> windows, string id) =>
        DateTimeOffset.TryParseExact(id, Format, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset start)
            ? windows.FirstOrDefault(window => window.Start == start)
            : null;
}
