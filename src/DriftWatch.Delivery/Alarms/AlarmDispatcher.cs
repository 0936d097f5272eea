using DriftWatch.Delivery.Dispatch;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Alarms;

/// <summary>
/// Delivers alarm notices: each channel by itself, in order of entry, again until they are taken. A notice that its channel
/// will never take is set aside. Notices that wait are handed over together, so that a channel can tell a flood as one.
/// </summary>
public sealed class AlarmDispatcher(
    IAlarmOutbox outbox, IEnumerable<IAlarmChannel> channels, DispatchOptions options, TimeProvider clock, ILogger<AlarmDispatcher> log)
{
    private const int Batch = 200;

    private readonly IAlarmChannel[] _channels = [.. channels.Where(channel => channel.TakesAlarms)];

    /// <summary>Runs until cancelled; ends without an error.</summary>
    public Task RunAsync(CancellationToken cancellationToken) =>
        Task.WhenAll(_channels.Select(channel => RunAsync(channel, new Random(), cancellationToken)));

    private async Task RunAsync(IAlarmChannel channel, Random random, CancellationToken cancellationToken)
    {
        int failures = 0;
        bool singly = false;
        while (!cancellationToken.IsCancellationRequested)
        {
            TimeSpan wait = options.Poll;
            try
            {
                IReadOnlyList<AlarmOutboxEntry> waiting = outbox.PendingAlarms(channel.Name, singly ? 1 : Batch);
                if (waiting.Count > 0)
                {
                    bool taken = await TryAsync(channel, waiting, cancellationToken).ConfigureAwait(false);

                    // Which of several was not taken is found by trying them one by one.
                    singly = !taken && waiting.Count > 1;
                    failures = taken || singly ? 0 : failures + 1;
                    wait = taken || singly ? TimeSpan.Zero : RetryDelay.After(failures, options.FirstRetry, options.LongestRetry, random.NextDouble());
                }
            }
            catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
            {
                DeliveryLog.OutboxFailed(log, failure, channel.Name);
                wait = RetryDelay.After(++failures, options.FirstRetry, options.LongestRetry, random.NextDouble());
            }

            await Task.Delay(wait, clock, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task<bool> TryAsync(IAlarmChannel channel, IReadOnlyList<AlarmOutboxEntry> waiting, CancellationToken cancellationToken)
    {
        using CancellationTokenSource timeout = new(options.DeliveryTimeout, clock);
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, timeout.Token);
        try
        {
            await channel.DeliverAsync([.. waiting.Select(entry => entry.Notice)], either.Token).ConfigureAwait(false);
            outbox.MarkAlarmsDelivered(channel.Name, [.. waiting.Select(entry => entry.Sequence)]);
            return true;
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            AlarmOutboxEntry first = waiting[0];
            bool never = waiting.Count == 1 && failure is NoticeRefusedException refusal
                && (refusal.IsPermanent || first.Tries + 1 >= options.RefusalsUntilSetAside);
            DeliveryLog.DeliveryFailed(log, failure, channel.Name, first.Notice.Key, first.Tries + 1, failure.Message);
            outbox.MarkAlarmFailed(channel.Name, first.Sequence, failure.Message, never);
            return never;
        }
    }
}
