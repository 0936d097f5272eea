using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>The time of a reading as plain JSON writes it.</summary>
internal static class EventTime
{
    /// <summary>Longest text looked at, characters.</summary>
    public const int LongestText = 64;

    /// <summary>What is wrong with a text that names no instant.</summary>
    public const string NoInstant = "its time names no instant; write it by RFC 3339 with an offset, like 2025-06-03T07:30:00Z";

    /// <summary>What is wrong with a number that names no instant.</summary>
    public const string NoCalendarInstant = "its time is no instant of the calendar";

    /// <summary>Whether a time written so is a text.</summary>
    public static bool MayBeText(SourceTime format) => format is SourceTime.Recognised or SourceTime.Rfc3339;

    /// <summary>Whether a time written so is a number.</summary>
    public static bool MayBeNumber(SourceTime format) => format != SourceTime.Rfc3339;

    /// <summary>What is wrong with a value of another kind.</summary>
    public static string WrongKind(SourceTime format) => format switch
    {
        SourceTime.Recognised => "its time is neither a text by RFC 3339 nor a number",
        SourceTime.Rfc3339 => "its time is no text by RFC 3339",
        _ => $"its time is no number ({format})",
    };

    public static bool TryFromCount(decimal count, SourceTime format, out DateTimeOffset instant) =>
        UnixTime.TryFromCount(count, MicrosecondsPerCount(count, format), out instant);

    private static decimal MicrosecondsPerCount(decimal count, SourceTime format) => format switch
    {
        SourceTime.EpochSeconds => 1_000_000m,
        SourceTime.EpochMilliseconds => 1_000m,
        SourceTime.EpochMicroseconds => 1m,
        SourceTime.EpochNanoseconds => 0.001m,
        _ => count switch
        {
            < 1e11m => 1_000_000m,
            < 1e14m => 1_000m,
            < 1e17m => 1m,
            _ => 0.001m,
        },
    };
}
