namespace DriftWatch.Plant.Alarms;

/// <summary>When alarms of one kind count as a flood that one cause has brought.</summary>
public sealed record AlarmFloodRule
{
    /// <summary>Vessels from which on they are told as one, 2 to 1000. Default 3.</summary>
    public int Vessels { get; init; } = 3;

    /// <summary>Window within which they follow each other, 1 minute to 30 days. Default 12 hours.</summary>
    public TimeSpan Window { get; init; } = TimeSpan.FromHours(12);

    internal IEnumerable<string> Faults(string at)
    {
        if (Vessels is < 2 or > 1000)
        {
            yield return FormattableString.Invariant($"{at}.vessels is {Vessels}: give 2 to 1000.");
        }

        if (!(Window >= TimeSpan.FromMinutes(1) && Window <= TimeSpan.FromDays(30)))
        {
            yield return $"{at}.window is {Window:c}: give 1 minute to 30 days, as d.hh:mm:ss.";
        }
    }
}
