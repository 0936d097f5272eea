using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>Health of the subscriber at one moment.</summary>
/// <param name="State">How it stands.</param>
/// <param name="Fault">What is wrong, where something is.</param>
/// <param name="Connections">Connections made since the start.</param>
/// <param name="MessagesReceived">Messages received since the start, those delivered again included.</param>
/// <param name="MessagesCommitted">Messages whose content has been committed.</param>
/// <param name="ReadingsCommitted">Readings committed.</param>
/// <param name="MessagesQuarantined">Messages set aside, whole or in part.</param>
/// <param name="LastMessage">When the last message came, UTC.</param>
public sealed record SubscriberStatus(
    SubscriberState State,
    string? Fault,
    long Connections,
    long MessagesReceived,
    long MessagesCommitted,
    long ReadingsCommitted,
    long MessagesQuarantined,
    DateTimeOffset? LastMessage)
{
    /// <summary>Messages refused because their source sent too many.</summary>
    public long MessagesRefused { get; init; }

    /// <summary>The sources they came from.</summary>
    public IReadOnlyList<SourceRefusals> Refusals { get; init; } = [];
}
