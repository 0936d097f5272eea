using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Host.Tests;

/// <summary>A clock whose time of day is wrong by as much as the test says; the time between two moments goes on rightly.</summary>
internal sealed class WrongClock(DateTimeOffset now) : FakeTimeProvider(now)
{
    public TimeSpan Off { get; set; }

    public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + Off;

    public override long GetTimestamp() => base.GetUtcNow().Ticks;
}
