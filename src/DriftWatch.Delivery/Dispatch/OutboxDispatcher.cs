using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Dispatch;

/// <summary>
/// Takes notices from the outbox to their channels, each channel in its own loop and in order of entry, so that one
/// that fails holds back no other. A notice counts as delivered only after its channel has taken it: a crash in
/// between delivers it once more, under the same key.
/// </summary>
public sealed class OutboxDispatcher
{
    private readonly ChannelLoop[] _loops;

    /// <summary>A dispatcher over an outbox and its channels.</summary>
    /// <param name="outbox">Where the notices wait.</param>
    /// <param name="channels">The channels, with unique names.</param>
    /// <param name="options">Settings.</param>
    /// <param name="clock">Clock for delays and timeouts.</param>
    /// <param name="random">Random source of the delays; used by one thread at a time under a lock of the dispatcher.</param>
    /// <param name="log">Where failures and recoveries are told.</param>
    /// <exception cref="ArgumentException">Settings have faults or two channels have one name.</exception>
    public OutboxDispatcher(
        IOutbox outbox,
        IReadOnlyList<IJobChannel> channels,
        DispatchOptions options,
        TimeProvider clock,
        Random random,
        ILogger<OutboxDispatcher> log)
    {
        List<string> faults = [.. options.Faults()];
        faults.AddRange(channels
            .GroupBy(channel => channel.Name, StringComparer.Ordinal)
            .Where(same => same.Count() > 1)
            .Select(same => $"Channel name '{same.Key}' is used {same.Count()} times: names must be unique."));
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(options));
        }

        Lock oneAtATime = new();
        double Jitter()
        {
            lock (oneAtATime)
            {
                return random.NextDouble();
            }
        }

        _loops = [.. channels.Select(channel => new ChannelLoop(outbox, channel, options, clock, Jitter, log))];
    }

    /// <summary>How each channel stands. From any thread.</summary>
    public IReadOnlyList<ChannelStatus> Status => [.. _loops.Select(loop => loop.Status)];

    /// <summary>Tells that notices have entered the outbox. Cheap; from any thread.</summary>
    public void Signal()
    {
        foreach (ChannelLoop loop in _loops)
        {
            loop.Signal();
        }
    }

    /// <summary>Delivers until cancelled; what still waits is delivered after the next start. Ends without an error.</summary>
    public Task RunAsync(CancellationToken cancellationToken) =>
        Task.WhenAll(_loops.Select(loop => Task.Run(() => loop.RunAsync(cancellationToken), CancellationToken.None)));
}
