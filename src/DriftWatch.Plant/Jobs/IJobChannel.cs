namespace DriftWatch.Plant.Jobs;

/// <summary>Port: a way into a maintenance queue.</summary>
public interface IJobChannel
{
    /// <summary>Name of the channel: its key in the outbox.</summary>
    string Name { get; }

    /// <summary>How long the far side may take for one answer, by the channel's settings; zero where they say nothing of it, as of a folder.</summary>
    TimeSpan AnswerTimeout => TimeSpan.Zero;

    /// <summary>Recipients whom the far side refused when it last took a notice for others, with its reasons; null for none. From any thread.</summary>
    string? RefusedRecipients => null;

    /// <summary>Hands the notice over; returns only when the far side has taken it durably, and throws otherwise.</summary>
    Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken);
}
