using Microsoft.Extensions.Logging;

namespace DriftWatch.Acquisition;

/// <summary>All log messages of acquisition. Event ids 2000 to 2999 are its own.</summary>
internal static partial class LogMessages
{
    [LoggerMessage(2000, LogLevel.Information, "Connected to the broker at {Host}:{Port}; session {SessionState}, {Filters} topic filters")]
    public static partial void Connected(this ILogger logger, string host, int port, string sessionState, int filters);

    [LoggerMessage(2001, LogLevel.Warning, "No connection to the broker at {Host}:{Port}: {Reason}. Next attempt in {Seconds} s")]
    public static partial void ConnectionFailed(this ILogger logger, string host, int port, string reason, double seconds);

    [LoggerMessage(2002, LogLevel.Warning, "Connection to the broker at {Host}:{Port} lost: {Reason}")]
    public static partial void ConnectionLost(this ILogger logger, string host, int port, string reason);

    [LoggerMessage(2010, LogLevel.Error, "{Messages} messages could not be committed and stay unacknowledged. Next attempt in {Seconds} s")]
    public static partial void CommitFailed(this ILogger logger, Exception exception, int messages, double seconds);

    [LoggerMessage(2011, LogLevel.Information, "Messages are committed again")]
    public static partial void CommitResumed(this ILogger logger);

    [LoggerMessage(2012, LogLevel.Debug, "{Messages} messages committed but not acknowledged, as the connection is gone; the broker sends them again")]
    public static partial void AcknowledgementFailed(this ILogger logger, int messages);

    [LoggerMessage(2013, LogLevel.Warning, "{Readings} readings are not kept, as the raw readings of their days are past their retention; samples are set aside. Send readings sooner, see the clocks of sources and of this machine, or lengthen the retention. Told once a day at most")]
    public static partial void ReadingsTooOld(this ILogger logger, long readings);

    [LoggerMessage(2014, LogLevel.Warning, "{Readings} readings are not kept, as another value is held at the same instant, which stays; samples are set aside. Let the source send each instant once, and see its clock. Told once a day at most")]
    public static partial void ReadingsDiffer(this ILogger logger, long readings);

    [LoggerMessage(2020, LogLevel.Warning, "Message on {Topic} set aside: {Reason}. Further ones of this topic are logged at debug level and kept in quarantine")]
    public static partial void TopicFirstQuarantined(this ILogger logger, string topic, string reason);

    [LoggerMessage(2021, LogLevel.Debug, "Message on {Topic} set aside: {Reason}")]
    public static partial void MessageQuarantined(this ILogger logger, string topic, string reason);

    [LoggerMessage(2022, LogLevel.Information, "Asked on {Topic} for birth certificates")]
    public static partial void RebirthAsked(this ILogger logger, string topic);

    [LoggerMessage(2023, LogLevel.Warning, "Could not ask on {Topic} for birth certificates: {Reason}")]
    public static partial void RebirthNotAsked(this ILogger logger, string topic, string reason);

    [LoggerMessage(2024, LogLevel.Information, "The register has other topics: {Filters} topic filters subscribed now, {Gone} given up")]
    public static partial void SubscriptionsRenewed(this ILogger logger, int filters, int gone);

    [LoggerMessage(2030, LogLevel.Warning, "Client {Client} at {Endpoint} is refused by the embedded broker: {Reason}. Further refusals of it are logged at debug level")]
    public static partial void ClientFirstRefused(this ILogger logger, string client, System.Net.EndPoint endpoint, string reason);

    [LoggerMessage(2031, LogLevel.Debug, "Client {Client} at {Endpoint} is refused by the embedded broker: {Reason}")]
    public static partial void ClientRefused(this ILogger logger, string client, System.Net.EndPoint endpoint, string reason);
}
