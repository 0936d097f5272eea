namespace DriftWatch.Plant.Jobs;

/// <summary>
/// Port: notices that wait for delivery. A notice enters together with the change that caused it and leaves only when
/// its channel has taken it.
/// </summary>
public interface IOutbox
{
    /// <summary>Oldest undelivered notices of a channel, at most <paramref name="limit"/>, in order of entry.</summary>
    IReadOnlyList<OutboxEntry> Pending(string channel, int limit);

    /// <summary>Marks an entry as taken by its channel.</summary>
    void MarkDelivered(string channel, long sequence);

    /// <summary>Counts a failed try of an entry and keeps what went wrong.</summary>
    void MarkFailed(string channel, long sequence, string error);
}
