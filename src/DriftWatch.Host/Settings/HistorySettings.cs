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
}
