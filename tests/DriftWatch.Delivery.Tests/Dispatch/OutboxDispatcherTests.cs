using System.Threading.Channels;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Delivery.Tests.Dispatch;

/// <summary>Over the real store; only the far side is under the test's command.</summary>
public sealed class OutboxDispatcherTests : IDisposable
{
    private static readonly DispatchOptions Options = new();

    private readonly TempFolder _folder = new();
    private readonly WatchedClock _clock = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Notices_come_in_order_those_that_waited_and_those_signalled()
    {
        using PlantStore store = Store("far");
        store.Save(Given.Step([.. Notices(0, 70)]));
        FarSide far = new("far");
        await using Running running = Run(store, far);
        Assert.Equal(Keys(0, 70), await far.Take(70));

        store.Save(Given.Step([.. Notices(70, 5)]));
        running.Dispatcher.Signal();
        Assert.Equal(Keys(70, 5), await far.Take(5));
        await running.Stop();
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task Without_a_signal_the_outbox_is_looked_at_after_the_poll_time()
    {
        using PlantStore store = Store("far");
        FarSide far = new("far");
        await using Running running = Run(store, far);
        store.Save(Given.Step(Given.Opened()));
        // Whether the loop looked before the notice came or not: it comes by the next look at the latest.
        Assert.Equal([Given.Opened().Key], await WhileTimePasses(far.Take(1), due => due == Options.Poll));
    }

    [Fact]
    public async Task A_failed_notice_is_tried_again_until_taken_before_any_later_one()
    {
        using PlantStore store = Store("far");
        store.Save(Given.Step([.. Notices(0, 3)]));
        int failures = 0;
        FarSide far = new("far", notice => notice.Job.Key.EndsWith('1') && ++failures <= 4 ? throw new IOException("away") : Task.CompletedTask);
        await using Running running = Run(store, far);
        Assert.Equal(Keys(0, 3), await WhileTimePasses(far.Take(3), IsRetry));
        Assert.Equal(5, failures);
    }

    [Fact]
    public async Task A_failure_is_counted_and_not_tried_again_before_its_time()
    {
        using PlantStore store = Store("far");
        store.Save(Given.Step(Given.Opened()));
        Channel<int> tries = Channel.CreateUnbounded<int>();
        FarSide far = new("far", _ =>
        {
            Assert.True(tries.Writer.TryWrite(0));
            throw new IOException("away");
        });
        await using Running running = Run(store, far);
        _ = await tries.Reader.ReadAsync(Ended);
        TimeSpan delay = await _clock.Waiting(IsRetry, Ended);
        Assert.InRange(delay, Options.FirstRetry / 2, Options.FirstRetry);
        _clock.Advance(delay - TimeSpan.FromTicks(1));
        running.Dispatcher.Signal();
        await running.Stop();
        Assert.False(tries.Reader.TryRead(out _), "a signal does not cut the delay short");
        Assert.Equal(1, Assert.Single(store.Pending("far", 10)).Tries);
    }

    [Fact]
    public async Task A_channel_that_hangs_or_fails_holds_back_no_other()
    {
        using PlantStore store = Store("hanging", "failing", "good");
        store.Save(Given.Step([.. Notices(0, 20)]));
        FarSide hanging = new("hanging", (_, cancellationToken) => Task.Delay(Timeout.Infinite, cancellationToken));
        FarSide failing = new("failing", _ => throw new IOException("away"));
        FarSide good = new("good");
        await using Running running = Run(store, hanging, failing, good);
        Assert.Equal(Keys(0, 20), await good.Take(20));
        await running.Stop();
        Assert.Empty(store.Pending("good", 100));
        Assert.Equal(20, store.Pending("failing", 100).Count);
        Assert.Equal(20, store.Pending("hanging", 100).Count);
    }

    [Fact]
    public async Task A_delivery_that_takes_too_long_counts_as_failed()
    {
        using PlantStore store = Store("far");
        store.Save(Given.Step(Given.Opened()));
        bool first = true;
        FarSide far = new("far", async (_, cancellationToken) =>
        {
            if (first)
            {
                first = false;
                await Task.Delay(Timeout.Infinite, cancellationToken);
            }
        });
        await using Running running = Run(store, far);
        _clock.Advance(await _clock.Waiting(due => due == Options.DeliveryTimeout, Ended));
        Assert.Equal([Given.Opened().Key], await WhileTimePasses(far.Take(1), IsRetry));
        await running.Stop();
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task Stopped_between_taking_and_marking_a_notice_comes_again_under_its_key_and_stands_once()
    {
        string queue = Path.Combine(_folder.Path, "queue");
        FileQueueChannel files = new("files", queue);
        Channel<string> taken = Channel.CreateUnbounded<string>();
        // Takes the notice durably and is stopped before it can say so: what a crash at the worst moment does.
        FarSide dying = new("files", async (notice, cancellationToken) =>
        {
            await files.DeliverAsync(notice, cancellationToken);
            await taken.Writer.WriteAsync(notice.Key, cancellationToken);
            await Task.Delay(Timeout.Infinite, cancellationToken);
        });
        using (PlantStore store = Store("files"))
        {
            store.Save(Given.Step([.. Notices(0, 3)]));
            await using Running running = Run(store, dying);
            Assert.Equal(Given.Opened(Given.Job(key: "job-000")).Key, await taken.Reader.ReadAsync(Ended));
        }

        using PlantStore reopened = Store("files");
        List<string> again = [];
        FarSide alive = new("files", async (notice, cancellationToken) =>
        {
            again.Add(notice.Key);
            await files.DeliverAsync(notice, cancellationToken);
        });
        await using (Running running = Run(reopened, alive))
        {
            _ = await alive.Take(3);
        }

        Assert.Equal(Keys(0, 3), again);
        Assert.Equal(3, Directory.GetFiles(queue).Length);
    }

    [Fact]
    public async Task A_store_that_fails_for_a_while_stops_nothing()
    {
        using PlantStore store = Store("far");
        store.Save(Given.Step(Given.Opened()));
        FarSide far = new("far");
        await using Running running = Run(new FailingAtFirst(store, 3), far);
        Assert.Equal([Given.Opened().Key], await WhileTimePasses(far.Take(1), IsRetry));
    }

    [Fact]
    public void Faults_of_settings_and_names_are_told_at_once()
    {
        using PlantStore store = Store("far");
        DispatchOptions bad = new() { FirstRetry = TimeSpan.Zero, LongestRetry = TimeSpan.FromDays(2), DeliveryTimeout = TimeSpan.Zero, Poll = TimeSpan.Zero };
        ArgumentException refused = Assert.Throws<ArgumentException>(() => new OutboxDispatcher(
            store, [new FarSide("a"), new FarSide("a")], bad, _clock, new Random(1), NullLogger<OutboxDispatcher>.Instance));
        Assert.Equal(5, refused.Message.Split(Environment.NewLine).Length);
    }

    private PlantStore Store(params string[] channels) =>
        new(new StoreOptions { Path = Path.Combine(_folder.Path, "plant.db"), Channels = channels });

    private static IEnumerable<JobNotice> Notices(int first, int count) =>
        Enumerable.Range(first, count).Select(i => Given.Opened(Given.Job(key: $"job-{i:D3}")));

    private static IEnumerable<string> Keys(int first, int count) => Notices(first, count).Select(notice => notice.Key);

    private Running Run(IOutbox outbox, params IJobChannel[] channels) =>
        new(new OutboxDispatcher(outbox, channels, Options, _clock, new Random(1), NullLogger<OutboxDispatcher>.Instance));

    /// <summary>The delays after a few failures are none of the other times that the dispatcher waits for.</summary>
    private static bool IsRetry(TimeSpan due) => due > TimeSpan.Zero && due < Options.Poll;

    /// <summary>Lets the time pass that is waited for, as often as it is, until a task ends.</summary>
    private async Task<T> WhileTimePasses<T>(Task<T> task, Predicate<TimeSpan> fits)
    {
        using CancellationTokenSource done = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        async Task Pass()
        {
            while (true)
            {
                _clock.Advance(await _clock.Waiting(fits, done.Token));
            }
        }

        Task passing = Pass();
        T result = await task;
        await done.CancelAsync();
        _ = await Assert.ThrowsAnyAsync<OperationCanceledException>(() => passing);
        return result;
    }

    /// <summary>A dispatcher at work.</summary>
    private sealed class Running : IAsyncDisposable
    {
        private readonly CancellationTokenSource _stop = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        private readonly Task _run;

        public Running(OutboxDispatcher dispatcher)
        {
            Dispatcher = dispatcher;
            _run = dispatcher.RunAsync(_stop.Token);
        }

        public OutboxDispatcher Dispatcher { get; }

        public async Task Stop()
        {
            await _stop.CancelAsync();
            await _run;
        }

        public async ValueTask DisposeAsync()
        {
            await Stop();
            _stop.Dispose();
        }
    }

    /// <summary>A queue that takes notices as the test says, and tells which it has taken.</summary>
    private sealed class FarSide(string name, Func<JobNotice, CancellationToken, Task>? take = null) : IJobChannel
    {
        private readonly Channel<string> _taken = Channel.CreateUnbounded<string>();

        public FarSide(string name, Func<JobNotice, Task> take)
            : this(name, (notice, _) => take(notice))
        {
        }

        public string Name => name;

        public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
        {
            await (take ?? ((_, _) => Task.CompletedTask))(notice, cancellationToken);
            await _taken.Writer.WriteAsync(notice.Key, cancellationToken);
        }

        public async Task<List<string>> Take(int count)
        {
            List<string> keys = [];
            while (keys.Count < count)
            {
                keys.Add(await _taken.Reader.ReadAsync(Ended));
            }

            return keys;
        }
    }

    /// <summary>A store that cannot be read at first: what a locked file looks like, without waiting for the lock.</summary>
    private sealed class FailingAtFirst(IOutbox outbox, int failures) : IOutbox
    {
        private int _left = failures;

        public IReadOnlyList<OutboxEntry> Pending(string channel, int limit) =>
            --_left >= 0 ? throw new StoreUnavailableException("locked") : outbox.Pending(channel, limit);

        public void MarkDelivered(string channel, long sequence) => outbox.MarkDelivered(channel, sequence);

        public void MarkFailed(string channel, long sequence, string error) => outbox.MarkFailed(channel, sequence, error);
    }
}
