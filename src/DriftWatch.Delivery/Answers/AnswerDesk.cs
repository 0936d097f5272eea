using System.Collections.Concurrent;
using System.Globalization;
using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Answers;

/// <summary>
/// Takes the answers of maintenance queues, whatever the transport: checks who sends them, reads them, has them
/// recorded with who and when, and sets aside what cannot be used. Any number of callers at once.
/// </summary>
public sealed class AnswerDesk
{
    /// <summary>How far a sender's clock may be ahead.</summary>
    private static readonly TimeSpan ClockDoubt = TimeSpan.FromMinutes(10);

    private readonly IAnswerBook _book;
    private readonly AnswerOptions _options;
    private readonly TimeProvider _clock;
    private readonly ILogger<AnswerDesk> _log;
    private readonly ConcurrentDictionary<string, string> _unheard = new(StringComparer.Ordinal);

    /// <summary>A desk over the book of answers.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public AnswerDesk(IAnswerBook book, AnswerOptions options, TimeProvider clock, ILogger<AnswerDesk> log)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _book = book;
        _options = options;
        _clock = clock;
        _log = log;
    }

    /// <summary>Why answers are not taken now, by the way they come; empty while all are.</summary>
    public IReadOnlyDictionary<string, string> Unheard => _unheard;

    internal void Hears(string via) => _unheard.TryRemove(via, out _);

    internal void CannotHear(string via, string why) => _unheard[via] = why;

    /// <summary>Takes an answer; when it returns, the answer is durable: recorded, or set aside. It throws when the store cannot write.</summary>
    /// <param name="message">The message; what is signed is its body.</param>
    /// <param name="unwrap">Gives the document out of the body, once somebody vouches for it; null where the body is the document.</param>
    public AnswerReply Take(AnswerMessage message, Func<ReadOnlyMemory<byte>, ReadOnlyMemory<byte>>? unwrap = null)
    {
        DateTimeOffset now = _clock.GetUtcNow();
        if (AuthorityOf(message, now) is not { } authority)
        {
            const string Nobody = "Neither a valid signature nor a sender that the broker vouches for.";
            if (message.IsAnsweredAtOnce)
            {
                DeliveryLog.AnswerRefused(_log, message.Via, Nobody);
                return new AnswerReply(AnswerResult.NotAuthentic, Nobody);
            }

            return SetAside(message, now, AnswerResult.NotAuthentic, Nobody);
        }

        JobAnswer answer;
        try
        {
            answer = AnswerReader.Read(unwrap is null ? message.Body : unwrap(message.Body));
        }
        catch (FormatException fault)
        {
            return SetAside(message, now, AnswerResult.Refused, fault.Message);
        }

        if (answer.At > now + ClockDoubt)
        {
            return SetAside(message, now, AnswerResult.Refused, $"at is {answer.At:O}, in the future; set the sender's clock.");
        }

        if (answer.ToWork(authority, now)?.Faults() is { Count: > 0 } faults)
        {
            return SetAside(message, now, AnswerResult.Refused, string.Join(' ', faults));
        }

        switch (_book.Record(answer, message.Via, authority, now))
        {
            case AnswerOutcome.Recorded:
                DeliveryLog.AnswerRecorded(_log, message.Via, answer.Id, answer.Kind, answer.JobKey);
                return new AnswerReply(AnswerResult.Recorded);
            case AnswerOutcome.Repeated:
                return new AnswerReply(AnswerResult.Repeated);
            case AnswerOutcome.IdUsed:
                return SetAside(message, now, AnswerResult.Refused, $"id '{answer.Id}' stands for another answer already; each answer needs an id of its own.");
            default:
                return SetAside(message, now, AnswerResult.Refused, $"jobKey '{answer.JobKey}' is the key of no job.");
        }
    }

    private string? AuthorityOf(AnswerMessage message, DateTimeOffset now)
    {
        if (_options.SigningSecret is { } secret
            && message is { SignatureId: { } id, SignatureTimestamp: { } timestamp, Signature: { } signature }
            && IsTimely(timestamp, message.SignatureTolerance, now)
            && WebhookSignature.Verifies(WebhookSignature.KeyOf(secret.Read()), id, timestamp, signature, message.Body.Span))
        {
            return "signature";
        }

        return _options.TrustBrokerIdentity && !string.IsNullOrWhiteSpace(message.BrokerIdentity) ? $"broker user {message.BrokerIdentity}" : null;
    }

    private static bool IsTimely(string timestamp, TimeSpan? tolerance, DateTimeOffset now) =>
        tolerance is not { } allowed
        || (long.TryParse(timestamp, NumberStyles.None, CultureInfo.InvariantCulture, out long seconds)
            && Math.Abs((double)now.ToUnixTimeSeconds() - seconds) <= allowed.TotalSeconds);

    private AnswerReply SetAside(AnswerMessage message, DateTimeOffset now, AnswerResult result, string reason)
    {
        _book.SetAside(new QuarantinedMessage($"answers by {message.Via}", now, reason, message.Body));
        DeliveryLog.AnswerRefused(_log, message.Via, reason);
        return new AnswerReply(result, reason);
    }
}
