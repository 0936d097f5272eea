using DriftWatch.Plant.Jobs;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery;

/// <summary>All log messages of this house; its event ids are 5000 to 5099.</summary>
internal static partial class DeliveryLog
{
    [LoggerMessage(5000, LogLevel.Information, "Channel {Channel} took notice {Notice} after {Tries} failed tries")]
    public static partial void Delivered(ILogger log, string channel, string notice, int tries);

    [LoggerMessage(5001, LogLevel.Warning, "Channel {Channel} did not take notice {Notice}, try {Try}: {Reason}")]
    public static partial void DeliveryFailed(ILogger log, Exception failure, string channel, string notice, int @try, string reason);

    [LoggerMessage(5002, LogLevel.Debug, "Channel {Channel}: {Failures} failures in a row, next try in {Delay}")]
    public static partial void Retrying(ILogger log, string channel, int failures, TimeSpan delay);

    [LoggerMessage(5003, LogLevel.Information, "Channel {Channel} works again after {Failures} failures in a row")]
    public static partial void Recovered(ILogger log, string channel, int failures);

    [LoggerMessage(5004, LogLevel.Error, "The outbox of channel {Channel} cannot be read or written")]
    public static partial void OutboxFailed(ILogger log, Exception failure, string channel);

    [LoggerMessage(5005, LogLevel.Error, "Channel {Channel} refuses notice {Notice}: set aside as a dead letter after {Refusals} refusals; see 'queue dead-letters'")]
    public static partial void SetAside(ILogger log, string channel, string notice, int refusals);

    [LoggerMessage(5006, LogLevel.Warning, "Channel {Channel} did not take {Count} alarm notices as one, each is tried by itself: {Reason}")]
    public static partial void FloodFailed(ILogger log, Exception failure, string channel, int count, string reason);

    [LoggerMessage(5010, LogLevel.Information, "Answer {Id} by {Via}: {Answer}, job {Job}")]
    public static partial void AnswerRecorded(ILogger log, string via, string id, AnswerKind answer, string job);

    [LoggerMessage(5011, LogLevel.Warning, "An answer by {Via} was set aside: {Reason}")]
    public static partial void AnswerRefused(ILogger log, string via, string reason);

    [LoggerMessage(5012, LogLevel.Information, "Answers by {Via} are taken from {Place}")]
    public static partial void AnswersListening(ILogger log, string via, string place);

    [LoggerMessage(5013, LogLevel.Warning, "Answers by {Via} cannot be heard: {Reason}")]
    public static partial void AnswersInterrupted(ILogger log, string via, string reason);

    [LoggerMessage(5014, LogLevel.Error, "An answer by {Via} waits for the store: {Reason}")]
    public static partial void AnswerWaits(ILogger log, Exception failure, string via, string reason);
}
