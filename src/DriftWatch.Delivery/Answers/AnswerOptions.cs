using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Answers;

/// <summary>Whose answers are taken. At least one of the two must be given.</summary>
public sealed record AnswerOptions
{
    /// <summary>Where the secret stands with which senders sign (Standard Webhooks, <c>whsec_BASE64</c>).</summary>
    public SecretSource? SigningSecret { get; init; }

    /// <summary>
    /// Whether the broker's word on who the sender is will do. Only for a broker that makes senders log in and lets each
    /// write its own answers only.
    /// </summary>
    public bool TrustBrokerIdentity { get; init; }

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.Check(SigningSecret is not null || TrustBrokerIdentity, "signingSecret", $"is missing: without it set trustBrokerIdentity, or anybody could answer.");
        faults.CheckSigningSecret("signingSecret", SigningSecret);
        return faults.All;
    }
}
