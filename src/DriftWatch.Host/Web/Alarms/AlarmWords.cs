using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>Alarms in words. States as IEC 62682 names them.</summary>
internal static class AlarmWords
{
    public static string Of(AlarmKind kind) => kind switch
    {
        AlarmKind.PrechargeNearlyGone => "Precharge nearly gone",
        AlarmKind.BelowLowerLimit => "Below the lower limit",
        AlarmKind.FallingFasterThanAllowed => "Falling faster than allowed",
        AlarmKind.AboveUpperLimit => "Above the upper limit",
        AlarmKind.NoWindowTooLong => "No window for too long",
        AlarmKind.DataFault => "Fault of a transducer or of the data",
        _ => Spaced(kind.ToString()),
    };

    public static string Of(AlarmState state) => state switch
    {
        AlarmState.ReturnedToNormalUnacknowledged => "returned to normal, unacknowledged",
        AlarmState.LatchedUnacknowledged => "latched, unacknowledged",
        AlarmState.LatchedAcknowledged => "latched, acknowledged",
        _ => Spaced(state.ToString()).ToLowerInvariant(),
    };

    /// <summary>What someone does, at the beginning of a line.</summary>
    public static string Of(AlarmEvent what) => what switch
    {
        AlarmEvent.Shelve => "Shelve",
        AlarmEvent.Unshelve => "Take back from the shelf",
        AlarmEvent.Suppress => "Suppress by design",
        AlarmEvent.Unsuppress => "End the suppression",
        AlarmEvent.RemoveFromService => "Take out of service",
        _ => Spaced(what.ToString()),
    };

    /// <summary>What someone did, for the audit log.</summary>
    public static string Done(AlarmEvent what) => what switch
    {
        AlarmEvent.Acknowledge => "alarm acknowledged",
        AlarmEvent.Reset => "alarm reset",
        AlarmEvent.Shelve => "alarm shelved",
        AlarmEvent.Unshelve => "alarm taken back from the shelf",
        AlarmEvent.Suppress => "alarm suppressed by design",
        AlarmEvent.Unsuppress => "suppression of alarm ended",
        AlarmEvent.RemoveFromService => "alarm taken out of service",
        AlarmEvent.ReturnToService => "alarm returned to service",
        _ => throw new ArgumentOutOfRangeException(nameof(what), what, "People do not cause this event."),
    };

    /// <summary>Class of its colours in the style sheet.</summary>
    public static string Tone(Alarm alarm) => alarm.Status.IsSetAside || !alarm.Status.ConditionOn ? "tone-open"
        : alarm.Kind is AlarmKind.NoWindowTooLong or AlarmKind.DataFault ? "tone-silent"
        : alarm.Kind == AlarmKind.AboveUpperLimit ? "tone-excess"
        : "tone-loss";

    public static string Of(Priority priority) => priority.ToString().ToLowerInvariant();

    private static string Spaced(string name) =>
        string.Concat(name.Select((letter, i) => i > 0 && char.IsUpper(letter) ? " " + char.ToLowerInvariant(letter) : letter.ToString()));
}
