namespace DriftWatch.Plant.Alarms;

/// <summary>Port: alarm notices that wait for delivery. What was told of an alarm is noted together with the notice that tells it.</summary>
public interface IAlarmOutbox
{
    /// <summary>Puts into the outbox what is new of the alarms at a moment; gives how many notices that were.</summary>
    /// <param name="asOf">The moment, UTC.</param>
    /// <param name="placeOf">Where a vessel is, by its id.</param>
    int TellAlarms(DateTimeOffset asOf, Func<string, string> placeOf);

    /// <summary>Oldest notices that wait for a channel, at most <paramref name="limit"/>, in order of entry.</summary>
    IReadOnlyList<AlarmOutboxEntry> PendingAlarms(string channel, int limit);

    /// <summary>Marks entries as taken by their channel.</summary>
    void MarkAlarmsDelivered(string channel, IReadOnlyList<long> sequences);

    /// <summary>Counts a failed try of an entry, and sets it aside where it will never be taken.</summary>
    void MarkAlarmFailed(string channel, long sequence, string failure, bool setAside);
}
