namespace DriftWatch.Host.Settings;

/// <summary>How the log is written.</summary>
public sealed record LogSettings
{
    /// <summary><c>text</c> (default), a line for people; or <c>json</c>, an object a line for programs.</summary>
    public string Format { get; init; } = "text";

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        if (Format is not ("text" or "json"))
        {
            yield return $"log.format is '{Format}': give \"text\" or \"json\".";
        }
    }
}
