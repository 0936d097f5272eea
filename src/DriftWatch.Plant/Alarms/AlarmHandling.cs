namespace DriftWatch.Plant.Alarms;

/// <summary>
/// How alarms are handled, as far as a plant may choose (the rationalised attributes of IEC 62682). The usual values are this
/// project's choice for points that come some times a day.
/// </summary>
public sealed record AlarmHandling
{
    /// <summary>The usual values.</summary>
    public static AlarmHandling Usual { get; } = new();

    /// <summary>On-delays: how long a condition must stand before its alarm comes; each 0 to 30 days.</summary>
    public AlarmOnDelays OnDelay { get; init; } = new();

    /// <summary>Off-delays: how long a condition must be gone before its alarm goes; each 0 to 90 days.</summary>
    public AlarmOffDelays OffDelay { get; init; } = new();

    /// <summary>
    /// Deadbands: the way back inside a limit before the alarm goes, percent of the nominal precharge (gauge); each 0 to 20. It
    /// never reaches beyond the nominal precharge itself.
    /// </summary>
    public AlarmDeadbands DeadbandPercent { get; init; } = new();

    /// <summary>When alarms count as a flood that one cause has brought.</summary>
    public AlarmFloodRule Flood { get; init; } = new();

    /// <summary>Greatest shelving time, 1 hour to 365 days. Default 30 days.</summary>
    public TimeSpan GreatestShelvingTime { get; init; } = TimeSpan.FromDays(30);

    /// <summary>Why an alarm cannot be shelved for so long; null when it can.</summary>
    public string? WhyNotShelved(TimeSpan? time) => time > TimeSpan.Zero && time <= GreatestShelvingTime
        ? null
        : FormattableString.Invariant($"A shelf has an end, later than now and within {GreatestShelvingTime.TotalDays:0.##} days (alarms.greatestShelvingTime).");

    /// <summary>All that is wrong, a line each; empty when it is good.</summary>
    /// <param name="at">Where it stands, before the field's name.</param>
    public IEnumerable<string> Faults(string at) =>
    [
        .. OnDelay.Faults($"{at}.onDelay", TimeSpan.FromDays(30)),
        .. OffDelay.Faults($"{at}.offDelay", TimeSpan.FromDays(90)),
        .. DeadbandPercent.Faults($"{at}.deadbandPercent"),
        .. Flood.Faults($"{at}.flood"),
        .. GreatestShelvingTime >= TimeSpan.FromHours(1) && GreatestShelvingTime <= TimeSpan.FromDays(365)
            ? (string[])[]
            : [$"{at}.greatestShelvingTime is {GreatestShelvingTime:c}: give 1 hour to 365 days, as d.hh:mm:ss."],
    ];
}
