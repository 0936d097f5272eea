namespace DriftWatch.Host.Settings;

/// <summary>How the log is written.</summary>
public sealed record LogSettings
{
    /// <summary><c>text</c> (default), a line for people; or <c>json</c>, an object a line for programs.</summary>
    public string Format { get; init; } = "text";
}
