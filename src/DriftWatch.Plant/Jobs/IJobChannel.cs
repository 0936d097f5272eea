namespace DriftWatch.Plant.Jobs;

/// <summary>Port: a way into a maintenance queue.</summary>
public interface IJobChannel
{
    /// <summary>Name of the channel: its key in the outbox.</summary>
    string Name { get; }

    /// <summary>Hands the notice over; returns only when the far side has taken it durably, and throws otherwise.</summary>
    Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken);
}
