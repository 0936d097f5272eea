using System.Threading.Channels;
using DriftWatch.Plant.Jobs;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Dispatch;

/// <summary>The loop of one channel: oldest notice first, the same one again until it is taken.</summary>
internal sealed class ChannelLoop(
    IOutbox outbox,
    IJobChannel channel,
    DispatchOptions options,
    TimeProvider clock,
    Func<double> jitter,
    ILogger log)
{
    private const int Batch = 32;

    // One slot: a signal given while the loop works is found when it comes to wait.
    private readonly Channel<bool> _signal = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });

    public void Signal() => _ = _signal.Writer.TryWrite(true);

    public async Task RunAsync(CancellationToken cancellationToken)
    {
        int failures = 0;
        try
        {
            while (true)
            {
                cancellationToken.ThrowIfCancellationRequested();
                Outcome outcome = await DeliverBatchAsync(failures, cancellationToken).ConfigureAwait(false);
                switch (outcome)
                {
                    case Outcome.Empty:
                        await WaitForSignalAsync(cancellationToken).ConfigureAwait(false);
                        break;
                    case Outcome.Delivered:
                        failures = 0;
                        break;
                    default:
                        failures = outcome == Outcome.FailedAfterSuccess ? 1 : failures + 1;
                        TimeSpan delay = RetryDelay.After(failures, options.FirstRetry, options.LongestRetry, jitter());
                        DeliveryLog.Retrying(log, channel.Name, failures, delay);
                        await Task.Delay(delay, clock, cancellationToken).ConfigureAwait(false);
                        break;
                }
            }
        }
        catch (Exception) when (cancellationToken.IsCancellationRequested)
        {
            // Asked to stop: what waits stays in the outbox, whatever broke off the delivery under way.
        }
    }

    private async Task<Outcome> DeliverBatchAsync(int failures, CancellationToken cancellationToken)
    {
        bool delivered = false;
        try
        {
            foreach (OutboxEntry entry in outbox.Pending(channel.Name, Batch))
            {
                if (!await TryDeliverAsync(entry, cancellationToken).ConfigureAwait(false))
                {
                    return delivered ? Outcome.FailedAfterSuccess : Outcome.Failed;
                }

                outbox.MarkDelivered(channel.Name, entry.Sequence);
                DeliveryLog.Delivered(log, channel.Name, entry.Notice.Key, entry.Tries);
                if (failures > 0 && !delivered)
                {
                    DeliveryLog.Recovered(log, channel.Name, failures);
                }

                delivered = true;
            }

            return delivered ? Outcome.Delivered : Outcome.Empty;
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            // The outbox itself: the store may come back, and then the notice is delivered again under the same key.
            DeliveryLog.OutboxFailed(log, failure, channel.Name);
            return delivered ? Outcome.FailedAfterSuccess : Outcome.Failed;
        }
    }

    private async Task<bool> TryDeliverAsync(OutboxEntry entry, CancellationToken cancellationToken)
    {
        using CancellationTokenSource timeout = new(options.DeliveryTimeout, clock);
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, timeout.Token);
        try
        {
            await channel.DeliverAsync(entry.Notice, either.Token).ConfigureAwait(false);
            return true;
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            string reason = timeout.IsCancellationRequested ? $"not taken within {options.DeliveryTimeout}" : failure.Message;
            DeliveryLog.DeliveryFailed(log, failure, channel.Name, entry.Notice.Key, entry.Tries + 1, reason);
            outbox.MarkFailed(channel.Name, entry.Sequence, reason);
            return false;
        }
    }

    private async Task WaitForSignalAsync(CancellationToken cancellationToken)
    {
        using CancellationTokenSource poll = new(options.Poll, clock);
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, poll.Token);
        try
        {
            _ = await _signal.Reader.ReadAsync(either.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            // Nobody signalled: look all the same.
        }
    }

    private enum Outcome
    {
        Empty,
        Delivered,
        Failed,
        FailedAfterSuccess,
    }
}
