namespace DriftWatch.Acquisition.Committing;

/// <summary>A message that has arrived and waits for its commit.</summary>
/// <param name="Topic">Topic it came on.</param>
/// <param name="Payload">Its bytes, its own copy or not written to before <paramref name="AcknowledgeAsync"/> returned.</param>
/// <param name="Arrived">When it came, UTC.</param>
/// <param name="Kept">Whether the broker had kept it (retained), so that its arrival says nothing of when it was true.</param>
/// <param name="SentAgain">Whether the sender says that it has sent it before.</param>
/// <param name="AcknowledgeAsync">Tells the sender that it is committed; throws when the sender is gone.</param>
internal readonly record struct IncomingMessage(
    string Topic, ReadOnlyMemory<byte> Payload, DateTimeOffset Arrived, bool Kept, bool SentAgain, Func<Task> AcknowledgeAsync);
