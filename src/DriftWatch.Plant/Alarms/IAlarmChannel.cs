namespace DriftWatch.Plant.Alarms;

/// <summary>Port: a way by which alarms are told.</summary>
public interface IAlarmChannel
{
    /// <summary>Name of the channel: its key in the outbox.</summary>
    string Name { get; }

    /// <summary>Hands the notice over; returns only when the far side has taken it durably, and throws otherwise.</summary>
    Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken);
}
