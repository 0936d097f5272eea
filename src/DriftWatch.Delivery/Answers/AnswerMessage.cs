using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Answers;

/// <summary>An answer as it came, by whatever transport.</summary>
/// <param name="Via">The way it came: the channel's name.</param>
/// <param name="Body">The JSON document, see docs/schema/answer.schema.json.</param>
public sealed record AnswerMessage(string Via, ReadOnlyMemory<byte> Body)
{
    /// <summary>Value of <c>webhook-id</c>; null when there was none.</summary>
    public string? SignatureId { get; init; }

    /// <summary>Value of <c>webhook-timestamp</c>; null when there was none.</summary>
    public string? SignatureTimestamp { get; init; }

    /// <summary>Value of <c>webhook-signature</c>; null when there was none.</summary>
    public string? Signature { get; init; }

    /// <summary>Name by which the broker knows the sender, where the broker itself vouches for it; null otherwise.</summary>
    public string? BrokerIdentity { get; init; }

    /// <summary>
    /// Whether the sender is told at once what came of it. Then what nobody vouches for is not kept: the sender knows, and
    /// nobody else fills the store.
    /// </summary>
    public bool IsAnsweredAtOnce { get; init; }

    /// <summary>
    /// How far the moment of signing may lie from now; null where messages wait in queues. Repetition does no harm: an
    /// answer counts once for each id.
    /// </summary>
    public TimeSpan? SignatureTolerance { get; init; }

    /// <summary>A message with the signature in its headers.</summary>
    /// <param name="via">The way it came: the channel's name.</param>
    /// <param name="body">The body as it was signed.</param>
    /// <param name="header">The value of a header by its name; null where there is none.</param>
    public static AnswerMessage From(string via, ReadOnlyMemory<byte> body, Func<string, string?> header) => new(via, body)
    {
        SignatureId = header(WebhookSignature.IdHeader),
        SignatureTimestamp = header(WebhookSignature.TimestampHeader),
        Signature = header(WebhookSignature.SignatureHeader),
    };
}
