namespace DriftWatch.Plant.Alarms;

/// <summary>Port: a way by which alarms are told.</summary>
public interface IAlarmChannel
{
    /// <summary>Name of the channel: its key in the outbox.</summary>
    string Name { get; }

    /// <summary>Whether its settings ask for alarms.</summary>
    bool TakesAlarms { get; }

    /// <summary>Hands notices over, in order; returns only when the far side has taken all of them durably, and throws otherwise.</summary>
    /// <param name="notices">What waits, oldest first; at least one. After a failure they come again, with their keys.</param>
    /// <param name="cancellationToken">Ends it; they stay in the outbox.</param>
    Task DeliverAsync(IReadOnlyList<AlarmNotice> notices, CancellationToken cancellationToken);
}
