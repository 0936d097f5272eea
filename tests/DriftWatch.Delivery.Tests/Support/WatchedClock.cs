using System.Threading.Channels;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A clock that the test moves, and that tells what is waited for: a test moves it only when somebody waits.</summary>
internal sealed class WatchedClock : FakeTimeProvider
{
    private readonly Channel<TimeSpan> _timers = Channel.CreateUnbounded<TimeSpan>();

    /// <summary>How wrong its time of day is; the time between two moments goes on rightly.</summary>
    public TimeSpan Off { get; set; }

    /// <inheritdoc/>
    public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + Off;

    /// <inheritdoc/>
    public override long GetTimestamp() => base.GetUtcNow().Ticks;

    /// <inheritdoc/>
    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        ITimer timer = base.CreateTimer(callback, state, dueTime, period);
        _ = _timers.Writer.TryWrite(dueTime);
        return timer;
    }

    /// <summary>Waits until somebody waits for a time that fits, and gives it.</summary>
    public async Task<TimeSpan> Waiting(Predicate<TimeSpan> fits, CancellationToken cancellationToken)
    {
        while (true)
        {
            TimeSpan due = await _timers.Reader.ReadAsync(cancellationToken);
            if (fits(due))
            {
                return due;
            }
        }
    }
}
