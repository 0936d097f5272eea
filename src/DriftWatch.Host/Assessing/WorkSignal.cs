using System.Threading.Channels;

namespace DriftWatch.Host.Assessing;

/// <summary>Wakes a worker; signals that come while it is awake add up to one.</summary>
internal sealed class WorkSignal
{
    private readonly Channel<bool> _signals = Channel.CreateBounded<bool>(
        new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite, SingleReader = true });

    public void Set() => _signals.Writer.TryWrite(true);

    /// <summary>Waits for a signal, at most for a time.</summary>
    public async Task WaitAsync(TimeSpan atMost, CancellationToken stop)
    {
        using var timer = new CancellationTokenSource(atMost);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(timer.Token, stop);
        try
        {
            await _signals.Reader.ReadAsync(either.Token);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            // The time is up.
        }
    }
}
