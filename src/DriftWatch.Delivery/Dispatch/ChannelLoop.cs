using System.Diagnostics;
using System.Threading.Channels;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Dispatch;

/// <summary>
/// The loop of one channel. Each vessel's notices go in order of entry; one that fails holds back only its own vessel.
/// <para>
/// A failure is the channel's fault until the channel takes another notice: after it the channel rests, longer each
/// time, and then another vessel's notice is tried. When that is taken, or when the far side itself has said no, the
/// failure counts against the notice. So an outage of any length sets nothing aside, and a notice that the far side
/// cannot digest blocks nobody.
/// </para>
/// <para>Alarms that follow each other are handed over together where the channel can tell a flood as one.</para>
/// </summary>
internal sealed class ChannelLoop(
    IOutbox outbox,
    IJobChannel channel,
    DispatchOptions options,
    TimeProvider clock,
    Func<double> jitter,
    ILogger log)
{
    private const int Batch = 200;

    /// <summary>What the settings grant a slow far side is not cut short here.</summary>
    private readonly TimeSpan _deliveryTimeout = options.DeliveryTimeout + channel.AnswerTimeout;

    // One slot: a signal given while the loop works is found when it comes to wait.
    private readonly Channel<bool> _signal = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });

    /// <summary>
    /// Vessels whose oldest notice was refused: since when, by the time that runs on whatever is done to the clock, and how long it waits
    /// for its next try.
    /// </summary>
    private readonly Dictionary<string, (long Since, TimeSpan Delay)> _refused = new(StringComparer.Ordinal);

    /// <summary>Vessels whose oldest notice failed since the channel last took one: whose fault it was is not known yet.</summary>
    private readonly Dictionary<string, OutboxEntry> _doubtful = new(StringComparer.Ordinal);

    private int _failures;
    private volatile ChannelStatus _status = new(channel.Name, 0, 0, null, null, null);

    /// <summary>How it stands; from any thread.</summary>
    public ChannelStatus Status => _status with { RefusedRecipients = channel.RefusedRecipients };

    public void Signal() => _ = _signal.Writer.TryWrite(true);

    public async Task RunAsync(CancellationToken cancellationToken)
    {
        try
        {
            while (true)
            {
                cancellationToken.ThrowIfCancellationRequested();
                switch (await DeliverBatchAsync(cancellationToken).ConfigureAwait(false))
                {
                    case Outcome.Empty:
                        await WaitForSignalAsync(cancellationToken).ConfigureAwait(false);
                        break;
                    case Outcome.Away:
                        _failures++;
                        TimeSpan delay = RetryDelay.After(_failures, options.FirstRetry, options.LongestRetry, jitter());
                        DeliveryLog.Retrying(log, channel.Name, _failures, delay);
                        await Task.Delay(delay, clock, cancellationToken).ConfigureAwait(false);
                        break;
                    default:
                        break;
                }
            }
        }
        catch (Exception) when (cancellationToken.IsCancellationRequested)
        {
            // Asked to stop: what waits stays in the outbox, whatever broke off the delivery under way.
        }
    }

    private async Task<Outcome> DeliverBatchAsync(CancellationToken cancellationToken)
    {
        try
        {
            IReadOnlyList<OutboxEntry> waiting = Next();
            foreach (IReadOnlyList<OutboxEntry> group in Together(waiting))
            {
                // A vessel whose notice was refused meanwhile waits with all that comes after it.
                OutboxEntry[] together = [.. group.Where(entry => !_refused.ContainsKey(entry.Notice.VesselId))];
                if (together.Length > 1 && await TryDeliverFloodAsync(together, cancellationToken).ConfigureAwait(false))
                {
                    continue;
                }

                foreach (OutboxEntry entry in together)
                {
                    if (!_refused.ContainsKey(entry.Notice.VesselId) && !await TryDeliverAsync(entry, cancellationToken).ConfigureAwait(false))
                    {
                        return Outcome.Away;
                    }
                }
            }

            return waiting.Count > 0 ? Outcome.Worked : Outcome.Empty;
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            // The outbox itself: the store may come back, and then the notice is delivered again under the same key.
            DeliveryLog.OutboxFailed(log, failure, channel.Name);
            Fails(failure.Message);
            return Outcome.Away;
        }
    }

    /// <summary>What is to be tried now: nothing of the vessels that are held back, and the doubtful ones last.</summary>
    private IReadOnlyList<OutboxEntry> Next()
    {
        foreach (string due in _refused.Where(held => UntilNextTry(held.Value) <= TimeSpan.Zero).Select(held => held.Key).ToArray())
        {
            _ = _refused.Remove(due);
        }

        IReadOnlyList<OutboxEntry> waiting = outbox.Pending(channel.Name, Batch, [.. _refused.Keys, .. _doubtful.Keys]);
        if (waiting.Count == 0 && _doubtful.Count > 0)
        {
            _doubtful.Clear();
            waiting = outbox.Pending(channel.Name, Batch, _refused.Keys);
        }

        return waiting;
    }

    /// <summary>What is handed over together: a flood of alarms where the channel tells it as one, else each by itself.</summary>
    private IEnumerable<IReadOnlyList<OutboxEntry>> Together(IReadOnlyList<OutboxEntry> waiting)
    {
        for (int first = 0; first < waiting.Count;)
        {
            int run = 1;
            if (channel is IFloodChannel flood)
            {
                int alarms = waiting.Skip(first).TakeWhile(entry => entry.Notice is AlarmNotice).Count();
                run = alarms >= flood.FewestTogether ? alarms : 1;
            }

            yield return [.. waiting.Skip(first).Take(run)];
            first += run;
        }
    }

    /// <summary>Tries a flood as one; false when it was not taken: which of them it was is found by trying them one by one.</summary>
    private async Task<bool> TryDeliverFloodAsync(OutboxEntry[] together, CancellationToken cancellationToken)
    {
        using CancellationTokenSource timeout = new(_deliveryTimeout, clock);
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, timeout.Token);
        try
        {
            await ((IFloodChannel)channel).DeliverAsync([.. together.Select(entry => (AlarmNotice)entry.Notice)], either.Token).ConfigureAwait(false);
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            DeliveryLog.FloodFailed(log, failure, channel.Name, together.Length, failure.Message);
            return false;
        }

        foreach (OutboxEntry entry in together)
        {
            MarkDelivered(entry);
        }

        return true;
    }

    /// <summary>Tries one notice; false when the channel seems to be away.</summary>
    private async Task<bool> TryDeliverAsync(OutboxEntry entry, CancellationToken cancellationToken)
    {
        using CancellationTokenSource timeout = new(_deliveryTimeout, clock);
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, timeout.Token);
        using Activity? trace = DeliveryTracing.Source.StartActivity("deliver", ActivityKind.Producer);
        _ = trace?.SetTag("channel", channel.Name).SetTag("notice", entry.Notice.Key).SetTag("vessel", entry.Notice.VesselId);
        try
        {
            await HandOverAsync(entry.Notice, either.Token).ConfigureAwait(false);
        }
        catch (NoticeRefusedException refusal) when (!cancellationToken.IsCancellationRequested)
        {
            MarkFailed(entry, refusal, refusal.Message);
            CountAgainst(entry, refusal.IsPermanent);
            return true;
        }
        catch (Exception failure) when (!cancellationToken.IsCancellationRequested)
        {
            string reason = timeout.IsCancellationRequested ? $"not taken within {_deliveryTimeout}" : failure.Message;
            Fails(reason);
            MarkFailed(entry, failure, reason);
            _doubtful[entry.Notice.VesselId] = entry;
            return false;
        }

        MarkDelivered(entry);
        return true;
    }

    private Task HandOverAsync(INotice notice, CancellationToken cancellationToken) => (notice, channel) switch
    {
        (JobNotice job, _) => channel.DeliverAsync(job, cancellationToken),
        (AlarmNotice alarm, IAlarmChannel alarms) => alarms.DeliverAsync(alarm, cancellationToken),
        _ => throw new NoticeRefusedException("This channel tells no alarms.", permanent: true),
    };

    private void MarkDelivered(OutboxEntry entry)
    {
        outbox.MarkDelivered(channel.Name, entry.Sequence);
        _status = new ChannelStatus(channel.Name, _status.Delivered + 1, _status.Failed, null, null, null);
        DeliveryLog.Delivered(log, channel.Name, entry.Notice.Key, entry.Tries);
        ChannelWorks(entry);
    }

    /// <summary>The channel has taken a notice: what failed before it counts against the notices that failed.</summary>
    private void ChannelWorks(OutboxEntry taken)
    {
        if (_failures > 0)
        {
            DeliveryLog.Recovered(log, channel.Name, _failures);
            _failures = 0;
        }

        OutboxEntry[] failed = [.. _doubtful.Values.Where(entry => entry.Sequence != taken.Sequence)];
        _doubtful.Clear();
        foreach (OutboxEntry entry in failed)
        {
            CountAgainst(entry, permanent: false);
        }
    }

    private void CountAgainst(OutboxEntry entry, bool permanent)
    {
        outbox.CountRefusal(channel.Name, entry.Sequence);
        int refusals = entry.Refusals + 1;
        if (permanent || refusals >= options.RefusalsUntilSetAside)
        {
            outbox.SetAside(channel.Name, entry.Sequence, clock.GetUtcNow());
            DeliveryLog.SetAside(log, channel.Name, entry.Notice.Key, refusals);
            return;
        }

        _refused[entry.Notice.VesselId] = (clock.GetTimestamp(), RetryDelay.After(refusals, options.FirstRetry, options.LongestRetry, jitter()));
    }

    private TimeSpan UntilNextTry((long Since, TimeSpan Delay) refused) => refused.Delay - clock.GetElapsedTime(refused.Since);

    private void Fails(string reason) => _status = _status with
    {
        Failed = _status.Failed + 1,
        Fault = reason,
        FailingSince = _status.FailingSince ?? clock.GetUtcNow(),
    };

    private void MarkFailed(OutboxEntry entry, Exception failure, string reason)
    {
        DeliveryLog.DeliveryFailed(log, failure, channel.Name, entry.Notice.Key, entry.Tries + 1, reason);
        outbox.MarkFailed(channel.Name, entry.Sequence, reason);
    }

    /// <summary>Waits for new notices, for the next try of a refused one, or for the time to look all the same.</summary>
    private async Task WaitForSignalAsync(CancellationToken cancellationToken)
    {
        TimeSpan wait = options.Poll;
        if (_refused.Count > 0)
        {
            TimeSpan untilNext = _refused.Values.Min(refused => UntilNextTry(refused));
            wait = untilNext < wait ? untilNext : wait;
            if (wait <= TimeSpan.Zero)
            {
                return;
            }
        }

        using CancellationTokenSource poll = new(wait, clock);
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
        Worked,
        Away,
    }
}
