namespace DriftWatch.Plant.Alarms;

/// <summary>
/// The state transitions of IEC 62682 and ANSI/ISA-18.2 (alarm state transition diagram). While an alarm is set aside its
/// condition is followed all the same; when it comes back with the condition standing it is announced, whether or not it
/// had been acknowledged before.
/// </summary>
public static class AlarmStateMachine
{
    /// <summary>The status after an event; null where the event has no place in the state.</summary>
    /// <param name="status">The status before.</param>
    /// <param name="what">The event.</param>
    /// <param name="latching">Whether the alarm stays until it is reset.</param>
    public static AlarmStatus? Next(AlarmStatus status, AlarmEvent what, bool latching) => what switch
    {
        AlarmEvent.ConditionOn => On(status, latching),
        AlarmEvent.ConditionOff => Off(status),
        AlarmEvent.PriorityRaised => status.State == AlarmState.Acknowledged ? status with { State = AlarmState.Unacknowledged } : status,
        AlarmEvent.SuppressedByRule => Suppressed(status with { SuppressedByRule = true }),
        AlarmEvent.ReleasedByRule => Released(status with { SuppressedByRule = false }),
        AlarmEvent.Acknowledge => Acknowledged(status),
        AlarmEvent.Reset => Reset(status),
        AlarmEvent.Shelve => status.IsSetAside ? null : status with { State = AlarmState.Shelved },
        AlarmEvent.Unshelve or AlarmEvent.ShelfExpired => status.State == AlarmState.Shelved ? Back(status) : null,
        AlarmEvent.Suppress => status.SuppressedByPlant ? null : Suppressed(status with { SuppressedByPlant = true }),
        AlarmEvent.Unsuppress => status.SuppressedByPlant ? Released(status with { SuppressedByPlant = false }) : null,
        AlarmEvent.RemoveFromService => status.State == AlarmState.OutOfService ? null : status with { State = AlarmState.OutOfService },
        AlarmEvent.ReturnToService => status.State == AlarmState.OutOfService ? Back(status) : null,
        _ => throw new ArgumentOutOfRangeException(nameof(what), what, "Give one of the events."),
    };

    private static AlarmStatus On(AlarmStatus status, bool latching)
    {
        status = status with { Latched = status.Latched || latching };
        return status.ConditionOn || status.IsSetAside
            ? status with { ConditionOn = true }
            : status with { ConditionOn = true, State = AlarmState.Unacknowledged };
    }

    private static AlarmStatus Off(AlarmStatus status) => status with
    {
        ConditionOn = false,
        State = status.State switch
        {
            AlarmState.Unacknowledged => status.Latched ? AlarmState.LatchedUnacknowledged : AlarmState.ReturnedToNormalUnacknowledged,
            AlarmState.Acknowledged => status.Latched ? AlarmState.LatchedAcknowledged : AlarmState.Normal,
            _ => status.State,
        },
    };

    private static AlarmStatus? Acknowledged(AlarmStatus status) => status.State switch
    {
        AlarmState.Unacknowledged => status with { State = AlarmState.Acknowledged },
        AlarmState.ReturnedToNormalUnacknowledged => status with { State = AlarmState.Normal },
        AlarmState.LatchedUnacknowledged => status with { State = AlarmState.LatchedAcknowledged },
        _ => null,
    };

    private static AlarmStatus? Reset(AlarmStatus status) => status.State switch
    {
        AlarmState.LatchedUnacknowledged => status with { State = AlarmState.ReturnedToNormalUnacknowledged, Latched = false },
        AlarmState.LatchedAcknowledged => status with { State = AlarmState.Normal, Latched = false },
        _ => null,
    };

    /// <summary>Shelf and service are set by people and stand before a suppression.</summary>
    private static AlarmStatus Suppressed(AlarmStatus status) =>
        status.State is AlarmState.Shelved or AlarmState.OutOfService ? status : status with { State = AlarmState.SuppressedByDesign };

    private static AlarmStatus Released(AlarmStatus status) =>
        status.State == AlarmState.SuppressedByDesign ? Back(status) : status;

    private static AlarmStatus Back(AlarmStatus status) => status with
    {
        State = status.SuppressedByRule || status.SuppressedByPlant ? AlarmState.SuppressedByDesign
            : status.ConditionOn ? AlarmState.Unacknowledged
            : status.Latched ? AlarmState.LatchedUnacknowledged
            : AlarmState.Normal,
    };
}
