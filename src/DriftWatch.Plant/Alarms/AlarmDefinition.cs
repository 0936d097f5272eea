namespace DriftWatch.Plant.Alarms;

/// <summary>
/// How the alarm of a kind behaves (the rationalised attributes of IEC 62682). Delays and deadband are this project's
/// choice for points that come some times a day.
/// </summary>
/// <param name="OnDelay">How long the condition must stand before the alarm comes.</param>
/// <param name="OffDelay">How long the condition must be gone before the alarm goes.</param>
/// <param name="Latching">Whether the alarm stays until it is reset by hand.</param>
/// <param name="SuppressedBy">Kinds of the same vessel that say all this one says, so that it is suppressed by design while one of them stands.</param>
public sealed record AlarmDefinition(TimeSpan OnDelay, TimeSpan OffDelay, bool Latching, IReadOnlyList<AlarmKind> SuppressedBy)
{
    /// <summary>Way back inside a limit, as a share of the nominal precharge (gauge), before a level alarm goes.</summary>
    public const double DeadbandShare = 0.01;

    /// <summary>The definition of a kind.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such kind.</exception>
    public static AlarmDefinition Of(AlarmKind kind) => kind switch
    {
        AlarmKind.PrechargeNearlyGone => NearlyGone,
        AlarmKind.BelowLowerLimit => Below,
        AlarmKind.FallingFasterThanAllowed => Falling,
        AlarmKind.AboveUpperLimit => Above,
        AlarmKind.NoWindowTooLong => NoWindow,
        AlarmKind.DataFault => Fault,
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Give one of the kinds of alarm."),
    };

    private static readonly AlarmDefinition NearlyGone = new(TimeSpan.Zero, TimeSpan.FromDays(1), true, []);

    private static readonly AlarmDefinition Below =
        new(TimeSpan.FromHours(6), TimeSpan.FromDays(1), false, [AlarmKind.PrechargeNearlyGone]);

    // The verdict is proven at every look already; what ends it is often a new segment that says nothing yet.
    private static readonly AlarmDefinition Falling =
        new(TimeSpan.Zero, TimeSpan.FromDays(3), false, [AlarmKind.PrechargeNearlyGone, AlarmKind.BelowLowerLimit]);

    private static readonly AlarmDefinition Above = new(TimeSpan.FromHours(6), TimeSpan.FromDays(1), false, []);

    private static readonly AlarmDefinition NoWindow = new(TimeSpan.Zero, TimeSpan.Zero, false, []);

    private static readonly AlarmDefinition Fault = new(TimeSpan.Zero, TimeSpan.FromDays(1), false, []);
}
