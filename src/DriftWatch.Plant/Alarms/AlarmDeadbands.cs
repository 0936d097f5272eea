namespace DriftWatch.Plant.Alarms;

/// <summary>Deadbands (IEC 62682) of the level alarms, percent of the nominal precharge (gauge).</summary>
public sealed record AlarmDeadbands
{
    /// <summary>Way back above the lower limit before <c>BelowLowerLimit</c> goes. Default 1.</summary>
    public double BelowLowerLimit { get; init; } = 1;

    /// <summary>Way back below the upper limit before <c>AboveUpperLimit</c> goes. Default 1.</summary>
    public double AboveUpperLimit { get; init; } = 1;

    internal IEnumerable<string> Faults(string at) =>
        from field in new[] { ("belowLowerLimit", BelowLowerLimit), ("aboveUpperLimit", AboveUpperLimit) }
        where !(field.Item2 >= 0 && field.Item2 <= 20)
        select FormattableString.Invariant($"{at}.{field.Item1} is {field.Item2}: give 0 to 20 percent of the nominal precharge.");
}
