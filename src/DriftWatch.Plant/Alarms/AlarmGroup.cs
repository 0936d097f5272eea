using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Alarms;

/// <summary>Alarms that are shown as one: of one kind and come so near to each other that one cause is likely.</summary>
/// <param name="Kind">What they are about.</param>
/// <param name="Alarms">The alarms in the order in which they came; one where it came alone.</param>
public sealed record AlarmGroup(AlarmKind Kind, IReadOnlyList<Alarm> Alarms)
{
    /// <summary>The first came, UTC.</summary>
    public DateTimeOffset First => Alarms[0].Raised;

    /// <summary>The last came, UTC.</summary>
    public DateTimeOffset Last => Alarms[^1].Raised;

    /// <summary>The gravest priority among them.</summary>
    public Priority Priority => Alarms.Max(alarm => alarm.Priority);

    /// <summary>Whether it is a flood that one cause is likely behind.</summary>
    public bool IsFlood => Alarms.Count > 1;

    /// <summary>What a common cause may be; empty for a single alarm.</summary>
    public string LikelyCause => !IsFlood ? "" : Kind switch
    {
        AlarmKind.NoWindowTooLong => "One cause is likely: broker, network or loggers, or a plant that was not released.",
        AlarmKind.DataFault => "One cause is likely: supply or wiring of the transducers, or their logger.",
        AlarmKind.AboveUpperLimit or AlarmKind.BelowLowerLimit or AlarmKind.PrechargeNearlyGone or AlarmKind.FallingFasterThanAllowed =>
            "One cause may be behind it: strong cold or heat that the gas temperature does not show, or a shared supply or reference of the transducers. Check one vessel by hand first, its fluid side isolated and fully released.",
        _ => "",
    };
}
