namespace DriftWatch.Delivery.Security;

/// <summary>
/// Where a secret stands: an environment variable, or the first line of a file. It is read each time it is needed, so
/// a new one counts from the next connection on, and neither settings nor messages hold it.
/// </summary>
public sealed record SecretSource
{
    /// <summary>Name of the environment variable.</summary>
    public string? EnvironmentVariable { get; init; }

    /// <summary>Path of the file.</summary>
    public string? File { get; init; }

    /// <summary>What keeps the secret from being read now; empty when it can be.</summary>
    /// <param name="field">The field of the settings, as the messages name it.</param>
    public IReadOnlyList<string> Faults(string field)
    {
        if (EnvironmentVariable is null == File is null)
        {
            return [$"{field} must name either environmentVariable or file, one of the two."];
        }

        try
        {
            _ = Read();
            return [];
        }
        catch (InvalidOperationException fault)
        {
            return [$"{field}: {fault.Message}"];
        }
    }

    /// <summary>The secret.</summary>
    /// <exception cref="InvalidOperationException">It cannot be read; the message says where it was looked for.</exception>
    public string Read()
    {
        if (EnvironmentVariable is { } variable)
        {
            return Environment.GetEnvironmentVariable(variable) is { Length: > 0 } value
                ? value
                : throw new InvalidOperationException($"the environment variable {variable} is not set or empty.");
        }

        try
        {
            return System.IO.File.ReadLines(File!).FirstOrDefault() is { Length: > 0 } line
                ? line
                : throw new InvalidOperationException($"the first line of file '{File}' is empty.");
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new InvalidOperationException($"file '{File}' cannot be read: {failure.Message}", failure);
        }
    }

    /// <summary>Where the secret stands, never the secret.</summary>
    public override string ToString() => EnvironmentVariable is null ? $"file {File}" : $"environment variable {EnvironmentVariable}";
}
