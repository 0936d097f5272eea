namespace DriftWatch.Plant.Alarms;

/// <summary>Port: a way by which a flood of alarms is told as one message.</summary>
public interface IFloodChannel : IAlarmChannel
{
    /// <summary>From how many on alarms that wait together are told as one; at least 2.</summary>
    int FewestTogether { get; }

    /// <summary>Hands notices over as one message; returns only when the far side has taken it durably, and throws otherwise.</summary>
    /// <param name="notices">What waits, oldest first; at least <see cref="FewestTogether"/>. After a failure each comes again by itself.</param>
    /// <param name="cancellationToken">Ends it; they stay in the outbox.</param>
    Task DeliverAsync(IReadOnlyList<AlarmNotice> notices, CancellationToken cancellationToken);
}
