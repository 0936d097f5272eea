using System.Globalization;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Files;

/// <summary>The ways in which loggers write times.</summary>
internal static class LoggerTimeGuess
{
    /// <summary>Days alone.</summary>
    public static readonly string[] DateFormats = ["yyyy-MM-dd", "yyyy/MM/dd", "dd.MM.yyyy", "d.M.yyyy", "dd/MM/yyyy", "MM/dd/yyyy", "dd.MM.yy", "dd-MM-yyyy"];

    /// <summary>Times of day alone.</summary>
    public static readonly string[] ClockFormats = ["HH:mm:ss", "HH:mm", "H:mm:ss", "H:mm", "HH:mm:ss.fff", "HH:mm:ss,fff", "h:mm:ss tt", "h:mm tt"];

    private static readonly string[] Formats =
    [
        .. DateFormats.SelectMany(_ => ClockFormats, (date, clock) => $"{date} {clock}"),
        .. ClockFormats.Select(clock => $"yyyy-MM-dd'T'{clock}"),
        "yyyyMMddHHmmss",
    ];

    /// <summary>Every way in which all the texts can be read, the likeliest first; null in the list stands for RFC 3339.</summary>
    public static List<string?> FormatsOf(IEnumerable<string> texts)
    {
        List<string> all = [.. texts];
        if (all.Count == 0)
        {
            return [];
        }

        if (all.TrueForAll(text => Rfc3339.TryParse(text, out _)))
        {
            return [null];
        }

        List<string?> fitting = [.. Formats.Where(format => all.TrueForAll(text =>
            DateTime.TryParseExact(text, format, CultureInfo.InvariantCulture, DateTimeStyles.None, out _)))];

        // 'dd' and 'd' read the same digits; the first of them is enough.
        fitting.RemoveAll(format => format!.StartsWith("d.M", StringComparison.Ordinal) && fitting.Contains("dd.MM" + format[3..]));
        if (fitting.Count > 0)
        {
            return fitting;
        }

        // Ten digits count seconds from the year 2001 on, thirteen milliseconds; anything shorter is a number like others.
        return all.TrueForAll(text => Digits(text, 10)) ? [LoggerTimeFormat.EpochSeconds]
            : all.TrueForAll(text => Digits(text, 13)) ? [LoggerTimeFormat.EpochMilliseconds]
            : [];

        static bool Digits(string text, int count) =>
            text.Length >= count && text.AsSpan(0, count).ContainsAnyExceptInRange('0', '9') == false && (text.Length == count || text[count] is '.' or ',');
    }
}
