namespace DriftWatch.Host.Replay;

/// <summary>
/// The plant's clock during a replay: it stands still while readings of the past stream in, so that no vessel counts as
/// silent before its readings came, and is set to the end of the data when all are in. Timers run in real time.
/// </summary>
internal sealed class ReplayClock : TimeProvider
{
    private long _ticks = DateTimeOffset.UnixEpoch.UtcTicks;

    public override DateTimeOffset GetUtcNow() => new(Interlocked.Read(ref _ticks), TimeSpan.Zero);

    public void Reach(DateTimeOffset instant) => Interlocked.Exchange(ref _ticks, instant.UtcTicks);
}
