namespace DriftWatch.Storage.Influx;

/// <summary>How InfluxDB 2 is reached and how much it is told at once.</summary>
public sealed record InfluxOptions
{
    /// <summary>Address of the server, such as <c>http://127.0.0.1:8086</c>.</summary>
    public required string Url { get; init; }

    /// <summary>Organisation.</summary>
    public required string Organisation { get; init; }

    /// <summary>Bucket; it must be there.</summary>
    public required string Bucket { get; init; }

    /// <summary>The token; never logged. Null where the server asks for none.</summary>
    public string? Token { get; init; }

    /// <summary>Most points in one write; 1 to 50,000. Default 5,000, which the server's makers advise.</summary>
    public int MostPoints { get; init; } = 5_000;

    /// <summary>Longest wait for an answer; above 0, up to 10 min. Default 30 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>How long the writer looks for something new when there was nothing; above 0, up to 1 min. Default 1 s.</summary>
    public TimeSpan Pause { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Wait after the first failure; doubles each time; above 0. Default 1 s.</summary>
    public TimeSpan ShortestRetry { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Longest wait between attempts; not below <see cref="ShortestRetry"/>. Default 1 min.</summary>
    public TimeSpan LongestRetry { get; init; } = TimeSpan.FromMinutes(1);

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults()
    {
        List<string> faults = [];
        Check(
            Uri.TryCreate(Url, UriKind.Absolute, out Uri? uri) && uri.Scheme is "http" or "https",
            $"Url is '{Url}': give an http or https address such as http://127.0.0.1:8086.");
        Check(!string.IsNullOrWhiteSpace(Organisation), "Organisation is empty: name it.");
        Check(!string.IsNullOrWhiteSpace(Bucket), "Bucket is empty: name it.");
        Check(MostPoints is >= 1 and <= 50_000, FormattableString.Invariant($"MostPoints is {MostPoints}: it must be 1 to 50000."));
        Check(Timeout > TimeSpan.Zero && Timeout <= TimeSpan.FromMinutes(10), $"Timeout is {Timeout}: it must be above 0, up to 10 min.");
        Check(Pause > TimeSpan.Zero && Pause <= TimeSpan.FromMinutes(1), $"Pause is {Pause}: it must be above 0, up to 1 min.");
        Check(ShortestRetry > TimeSpan.Zero, $"ShortestRetry is {ShortestRetry}: it must be above 0.");
        Check(LongestRetry >= ShortestRetry, $"LongestRetry is {LongestRetry}: it must not be below ShortestRetry ({ShortestRetry}).");
        return faults;

        void Check(bool good, string fault)
        {
            if (!good)
            {
                faults.Add(fault);
            }
        }
    }
}
