namespace DriftWatch.Plant.Alarms;

/// <summary>A delay for each kind of alarm.</summary>
public abstract record AlarmDelays
{
    /// <summary>For <c>PrechargeNearlyGone</c>. Default: on at once, off after a day.</summary>
    public TimeSpan PrechargeNearlyGone { get; init; }

    /// <summary>For <c>BelowLowerLimit</c>. Default: on after 6 hours, off after a day.</summary>
    public TimeSpan BelowLowerLimit { get; init; }

    /// <summary>
    /// For <c>FallingFasterThanAllowed</c>. Default: on at once (the verdict is proven at every look already), off after 3 days
    /// (what ends it is often a new segment that says nothing yet).
    /// </summary>
    public TimeSpan FallingFasterThanAllowed { get; init; }

    /// <summary>For <c>AboveUpperLimit</c>. Default: on after 6 hours, off after a day.</summary>
    public TimeSpan AboveUpperLimit { get; init; }

    /// <summary>For <c>NoWindowTooLong</c>. Default: on and off at once.</summary>
    public TimeSpan NoWindowTooLong { get; init; }

    /// <summary>For <c>DataFault</c>. Default: on at once, off after a day.</summary>
    public TimeSpan DataFault { get; init; }

    /// <summary>The delay of a kind.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such kind.</exception>
    public TimeSpan Of(AlarmKind kind) => kind switch
    {
        AlarmKind.PrechargeNearlyGone => PrechargeNearlyGone,
        AlarmKind.BelowLowerLimit => BelowLowerLimit,
        AlarmKind.FallingFasterThanAllowed => FallingFasterThanAllowed,
        AlarmKind.AboveUpperLimit => AboveUpperLimit,
        AlarmKind.NoWindowTooLong => NoWindowTooLong,
        AlarmKind.DataFault => DataFault,
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Give one of the kinds of alarm."),
    };

    internal IEnumerable<string> Faults(string at, TimeSpan longest) =>
        from kind in Enum.GetValues<AlarmKind>()
        let delay = Of(kind)
        where !(delay >= TimeSpan.Zero && delay <= longest)
        let name = kind.ToString()
        select FormattableString.Invariant($"{at}.{char.ToLowerInvariant(name[0])}{name[1..]} is {delay:c}: give 0 to {longest.TotalDays} days, as d.hh:mm:ss.");
}
