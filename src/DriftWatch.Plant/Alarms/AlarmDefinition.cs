namespace DriftWatch.Plant.Alarms;

/// <summary>What an alarm of a kind is by design; what a plant may choose stands in <see cref="AlarmHandling"/>.</summary>
/// <param name="Latching">Whether the alarm stays until it is reset by hand.</param>
/// <param name="SuppressedBy">Kinds of the same vessel that say all this one says, so that it is suppressed by design while one of them stands.</param>
public sealed record AlarmDefinition(bool Latching, IReadOnlyList<AlarmKind> SuppressedBy)
{
    private static readonly AlarmDefinition NearlyGone = new(true, []);

    private static readonly AlarmDefinition Below = new(false, [AlarmKind.PrechargeNearlyGone]);

    private static readonly AlarmDefinition Falling = new(false, [AlarmKind.PrechargeNearlyGone, AlarmKind.BelowLowerLimit]);

    private static readonly AlarmDefinition Plain = new(false, []);

    /// <summary>The definition of a kind.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such kind.</exception>
    public static AlarmDefinition Of(AlarmKind kind) => kind switch
    {
        AlarmKind.PrechargeNearlyGone => NearlyGone,
        AlarmKind.BelowLowerLimit => Below,
        AlarmKind.FallingFasterThanAllowed => Falling,
        AlarmKind.AboveUpperLimit or AlarmKind.NoWindowTooLong or AlarmKind.DataFault => Plain,
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Give one of the kinds of alarm."),
    };
}
