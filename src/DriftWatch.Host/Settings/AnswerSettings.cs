using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Security;

namespace DriftWatch.Host.Settings;

/// <summary>How the answers of maintenance queues come, and whose are taken.</summary>
public sealed record AnswerSettings
{
    /// <summary>Whether they are taken from the broker of <c>queue.mqtt</c>, topics <c>prefix/answers/SENDER</c>.</summary>
    public bool Mqtt { get; init; }

    /// <summary>Queue at the broker of <c>queue.amqp</c> that they are taken from; none by default.</summary>
    public string? AmqpQueue { get; init; }

    /// <summary>Whether they are taken over HTTP, at <c>/api/v1/answers</c> of the pages' address; needs <c>signingSecret</c>.</summary>
    public bool Http { get; init; }

    /// <inheritdoc cref="AnswerOptions.SigningSecret"/>
    public SecretSource? SigningSecret { get; init; }

    /// <inheritdoc cref="AnswerOptions.TrustBrokerIdentity"/>
    public bool TrustBrokerIdentity { get; init; }

    internal AnswerOptions Options => new() { SigningSecret = SigningSecret, TrustBrokerIdentity = TrustBrokerIdentity };
}
