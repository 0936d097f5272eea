namespace DriftWatch.Plant.Notices;

/// <summary>
/// Port: notices that wait for delivery. A notice enters together with the change that caused it and leaves only when
/// its channel has taken it, or is set aside as a dead letter, from where it can be sent again.
/// </summary>
public interface IOutbox
{
    /// <summary>Oldest waiting notices of a channel, at most <paramref name="limit"/>, in order of entry.</summary>
    /// <param name="channel">The channel.</param>
    /// <param name="limit">Most notices to give.</param>
    /// <param name="exceptVessels">Vessels whose notices are passed over; null for none.</param>
    IReadOnlyList<OutboxEntry> Pending(string channel, int limit, IReadOnlyCollection<string>? exceptVessels = null);

    /// <summary>Marks an entry as taken by its channel.</summary>
    void MarkDelivered(string channel, long sequence);

    /// <summary>Counts a failed try of an entry and keeps what went wrong.</summary>
    void MarkFailed(string channel, long sequence, string error);

    /// <summary>Counts a failed try against the notice itself: its channel takes others.</summary>
    void CountRefusal(string channel, long sequence);

    /// <summary>Sets an entry aside as a dead letter: it waits no more and holds back nothing.</summary>
    void SetAside(string channel, long sequence, DateTimeOffset at);
}
