using DriftWatch.Delivery.Dispatch;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Answers;

/// <summary>What the listeners have in common: a connection is made again after it broke, and a message waits until it is durable.</summary>
internal static class AnswerListening
{
    private static readonly TimeSpan FirstRetry = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestRetry = TimeSpan.FromMinutes(1);

    /// <summary>Connects and listens until cancelled. The work returns or throws when the connection is gone.</summary>
    public static async Task RunAsync(
        string via, AnswerDesk desk, Func<Action, CancellationToken, Task> connectAndListen, TimeProvider clock, Random random, ILogger log, CancellationToken cancellationToken)
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

            desk.CannotHear(via, reason);
            if (!await RestAsync(++failures, clock, random, cancellationToken).ConfigureAwait(false))
            {
                return;
            }

            DeliveryLog.AnswersInterrupted(log, via, reason);
        }

        void Listens()
        {
            failures = 0;
            desk.Hears(via);
        }
    }

    /// <summary>Has the desk take a message, as often as it needs until the store can write it; false when asked to stop before.</summary>
    public static async Task<bool> TakeAsync(AnswerDesk desk, AnswerMessage message, TimeProvider clock, Random random, ILogger log, CancellationToken cancellationToken)
    {
        for (int failures = 0; ;)
        {
            try
            {
                _ = desk.Take(message);
                desk.Hears(message.Via);
                return true;
            }
            catch (Exception failure)
            {
                DeliveryLog.AnswerWaits(log, failure, message.Via, failure.Message);
                desk.CannotHear(message.Via, failure.Message);
                if (!await RestAsync(++failures, clock, random, cancellationToken).ConfigureAwait(false))
                {
                    return false;
                }
            }
        }
    }

    private static async Task<bool> RestAsync(int failures, TimeProvider clock, Random random, CancellationToken cancellationToken)
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
