using System.Globalization;

namespace DriftWatch.Host.Settings;

/// <summary>How long what is kept, and an InfluxDB beside the embedded store.</summary>
public sealed record HistorySettings
{
    /// <summary>Days that raw readings are kept, 120 or more; then an hourly roll-up stays. None (the default): for ever.</summary>
    public int? RawRetentionDays { get; init; }

    /// <summary>Days that hourly roll-ups are kept, not fewer than those of raw readings. None (the default): for ever.</summary>
    public int? RollUpRetentionDays { get; init; }

    /// <summary>An InfluxDB 2 that also gets readings, normalised values and precharge windows; none by default.</summary>
    public InfluxSettings? Influx { get; init; }

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        if (RawRetentionDays is < 120)
        {
            yield return $"history.rawRetentionDays is {RawRetentionDays}: give 120 or more, or leave it out to keep raw readings for ever.";
        }

        if (RollUpRetentionDays is { } rollUp && !(rollUp >= RawRetentionDays))
        {
            yield return $"history.rollUpRetentionDays is {rollUp}: give no fewer days than rawRetentionDays ({RawRetentionDays?.ToString(CultureInfo.InvariantCulture) ?? "for ever"}).";
        }

        foreach (string fault in Influx?.Faults() ?? [])
        {
            yield return fault;
        }
    }
}
