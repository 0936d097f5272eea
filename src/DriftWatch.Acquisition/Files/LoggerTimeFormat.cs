namespace DriftWatch.Acquisition.Files;

/// <summary>Names of times that are no pattern of .NET.</summary>
internal static class LoggerTimeFormat
{
    /// <summary>Seconds from the Unix epoch.</summary>
    public const string EpochSeconds = "epochSeconds";

    /// <summary>Milliseconds from the Unix epoch.</summary>
    public const string EpochMilliseconds = "epochMilliseconds";

    /// <summary>Whether a time written so names an instant without a zone.</summary>
    public static bool NamesInstant(string? format) =>
        format is null or EpochSeconds or EpochMilliseconds || format.Contains('z', StringComparison.Ordinal);
}
