using DriftWatch.Delivery.Dispatch;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Answers;

/// <summary>What the listeners have in common: a connection is made again after it broke, and a message waits until it is durable.</summary>
/// <param name="via">The way that answers come: the channel's name.</param>
/// <param name="desk">Where answers go.</param>
/// <param name="clock">Clock for delays.</param>
/// <param name="random">Random source of the delays, used by this listener alone.</param>
/// <param name="log">Where interruptions are told.</param>
internal sealed class AnswerListening(string via, AnswerDesk desk, TimeProvider clock, Random random, ILogger log)
{
    private static readonly TimeSpan FirstRetry = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestRetry = TimeSpan.FromMinutes(1);

    /// <summary>Connects and listens until cancelled. The work returns or throws when the connection is gone.</summary>
    /// <param name="connectAndListen">Gets what to say when it listens: the place that answers are taken from.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public async Task RunAsync(Func<Action<string>, CancellationToken, Task> connectAndListen, CancellationToken cancellationToken)
    {
        int failures = 0;
        while (!cancellationToken.IsCancellationRequested)
        {
            string reason = "the connection was closed";
            try
            {
                await connectAndListen(Listens, cancellationToken).ConfigureAwait(false);
            }
            catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
            {
                reason = failure.Message;
            }
            catch (Exception) when (cancellationToken.IsCancellationRequested)
            {
                return;
            }

            if (!await RestAsync(++failures, cancellationToken).ConfigureAwait(false))
            {
                return;
            }

            DeliveryLog.AnswersInterrupted(log, via, reason);
        }

        void Listens(string place)
        {
            failures = 0;
            DeliveryLog.AnswersListening(log, via, place);
        }
    }

    /// <summary>Has the desk take a message, as often as it needs until the store can write it; false when asked to stop before.</summary>
    /// <param name="body">The JSON document.</param>
    /// <param name="header">The value of a header by its name; null where there is none.</param>
    /// <param name="brokerIdentity">Name by which the broker knows the sender; null where it does not vouch for him.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public async Task<bool> TakeAsync(byte[] body, Func<string, string?> header, string? brokerIdentity, CancellationToken cancellationToken)
    {
        AnswerMessage message = AnswerMessage.From(via, body, header) with { BrokerIdentity = brokerIdentity };
        for (int failures = 0; ;)
        {
            try
            {
                _ = desk.Take(message);
                return true;
            }
            catch (Exception failure)
            {
                DeliveryLog.AnswerWaits(log, failure, message.Via, failure.Message);
                if (!await RestAsync(++failures, cancellationToken).ConfigureAwait(false))
                {
                    return false;
                }
            }
        }
    }

    private async Task<bool> RestAsync(int failures, CancellationToken cancellationToken)
    {
        try
        {
            await Task.Delay(RetryDelay.After(failures, FirstRetry, LongestRetry, random.NextDouble()), clock, cancellationToken).ConfigureAwait(false);
            return true;
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }
}
