using DriftWatch.Delivery.Security;
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

    private SecretSource? TokenSource =>
        TokenFile is null && TokenEnvironmentVariable is null ? null : new SecretSource { File = TokenFile, EnvironmentVariable = TokenEnvironmentVariable };

    /// <summary>The options of the history, with the token read.</summary>
    /// <exception cref="InvalidOperationException">The token is named, but not there.</exception>
    internal InfluxOptions ToOptions() => new() { Url = Url, Organisation = Organisation, Bucket = Bucket, Token = TokenSource?.Read() };

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        IEnumerable<string> address = WebAddress.Faults(
            "history.influx.url", Url, WebAddress.IsWeb, "an http or https address such as http://127.0.0.1:8086", "the token is named by tokenFile or tokenEnvironmentVariable");
        foreach (string fault in address)
        {
            yield return fault;
        }

        if (string.IsNullOrWhiteSpace(Organisation))
        {
            yield return "history.influx.organisation is empty: name it.";
        }

        if (string.IsNullOrWhiteSpace(Bucket))
        {
            yield return "history.influx.bucket is empty: name it.";
        }

        if (TokenFile is not null && TokenEnvironmentVariable is not null)
        {
            yield return "history.influx.tokenFile and history.influx.tokenEnvironmentVariable are both given: give one of them.";
        }
    }

    /// <summary>What it names and cannot be used now, a line each.</summary>
    internal IEnumerable<string> Missing() => NamedFile.SecretFaults("history.influx.token", TokenEnvironmentVariable, TokenFile);
}
