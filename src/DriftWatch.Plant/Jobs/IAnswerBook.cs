using DriftWatch.Plant.Readings;

namespace DriftWatch.Plant.Jobs;

/// <summary>Port: the answers of maintenance queues on record. What a member has recorded survives a crash.</summary>
public interface IAnswerBook
{
    /// <summary>Records an answer, once for each id, and with it the work that its values tell of.</summary>
    /// <exception cref="ArgumentException">Its values cannot be recorded; the message says why.</exception>
    AnswerOutcome Record(JobAnswer answer, string via, string authority, DateTimeOffset received);

    /// <summary>Keeps a message that is no answer to be recorded, with the reason.</summary>
    void SetAside(QuarantinedMessage message);

    /// <summary>Answers recorded after a sequence (0: from the first), in order, at most <paramref name="limit"/>.</summary>
    IReadOnlyList<RecordedAnswer> AnswersAfter(long sequence, int limit);
}
