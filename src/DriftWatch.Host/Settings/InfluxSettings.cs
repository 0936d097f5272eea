using DriftWatch.Storage.Influx;

namespace DriftWatch.Host.Settings;

/// <summary>An InfluxDB 2 server.</summary>
public sealed record InfluxSettings
{
    /// <summary>Address, such as <c>http://127.0.0.1:8086</c>.</summary>
    public required string Url { get; init; }

    /// <summary>Organisation.</summary>
    public required string Organisation { get; init; }

    /// <summary>Bucket; it must be there.</summary>
    public required string Bucket { get; init; }

    /// <summary>Environment variable that holds the token.</summary>
    public string? TokenEnvironmentVariable { get; init; }

    /// <summary>File whose first line is the token.</summary>
    public string? TokenFile { get; init; }

    /// <summary>The options of the history, with the token read.</summary>
    /// <exception cref="InvalidDataException">The token is named, but not there.</exception>
    internal InfluxOptions ToOptions() => new() { Url = Url, Organisation = Organisation, Bucket = Bucket, Token = Token() };

    /// <summary>What is wrong, whatever the token.</summary>
    internal static IReadOnlyList<string> Faults(InfluxSettings settings) =>
        new InfluxOptions { Url = settings.Url, Organisation = settings.Organisation, Bucket = settings.Bucket }.Faults();

    private string? Token()
    {
        if (TokenFile is { } file)
        {
            return File.ReadLines(file).FirstOrDefault() ?? throw new InvalidDataException($"The token file {file} is empty.");
        }

        return TokenEnvironmentVariable is { } variable
            ? Environment.GetEnvironmentVariable(variable)
                ?? throw new InvalidDataException($"The environment variable {variable}, which is to hold the token of InfluxDB, is not set.")
            : null;
    }
}
