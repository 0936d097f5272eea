using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Settings;

/// <summary>How the log is written.</summary>
public sealed record LogSettings
{
    /// <summary><c>text</c> (default), a line for people; or <c>json</c>, an object a line for programs.</summary>
    public string Format { get; init; } = "text";

    /// <summary>Messages from which level on: <c>debug</c>, <c>information</c> (default), <c>warning</c> or <c>error</c>. A change counts at once.</summary>
    public string Level { get; init; } = "information";

    /// <summary>The level, once the settings have been checked.</summary>
    internal LogLevel LeastLevel => Level switch
    {
        "debug" => LogLevel.Debug,
        "information" => LogLevel.Information,
        "warning" => LogLevel.Warning,
        "error" => LogLevel.Error,
        _ => throw new InvalidOperationException("Settings were not checked."),
    };

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        if (Format is not ("text" or "json"))
        {
            yield return $"log.format is '{Format}': give \"text\" or \"json\".";
        }

        if (Level is not ("debug" or "information" or "warning" or "error"))
        {
            yield return $"log.level is '{Level}': give \"debug\", \"information\", \"warning\" or \"error\".";
        }
    }
}
