using System.CommandLine.Parsing;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Commands;

/// <summary>An instant on the command line: RFC 3339 with its offset.</summary>
internal static class InstantText
{
    /// <summary>The instant, UTC; null with an error that says how to write one.</summary>
    public static DateTimeOffset? Read(ArgumentResult result)
    {
        string text = result.Tokens[^1].Value;
        if (Rfc3339.TryParse(text, out DateTimeOffset instant))
        {
            return instant;
        }

        result.AddError($"'{text}' is not an instant; write date, time and offset like 2026-10-01T06:00:00Z.");
        return null;
    }
}
