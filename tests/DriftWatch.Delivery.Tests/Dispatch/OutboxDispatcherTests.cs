using System.Threading.Channels;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Delivery.Tests.Dispatch;

/// <summary>Over the real store; only the far side is under the test's command.</summary>
public sealed class OutboxDispatcherTests : IDisposable
{
    private static readonly DispatchOptions Options = new();

    private readonly DispatcherBench _bench = new(Options);

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task Notices_come_in_order_those_that_waited_and_those_signalled()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 70)]));
        FarSide far = new("far");
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(DispatcherBench.Keys(0, 70), await far.Take(70));

        store.Save(Given.Step([.. DispatcherBench.Notices(70, 5)]));
        running.Dispatcher.Signal();
        Assert.Equal(DispatcherBench.Keys(70, 5), await far.Take(5));
        await running.Stop();
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task Without_a_signal_the_outbox_is_looked_at_after_the_poll_time()
    {
        using PlantStore store = _bench.Store("far");
        FarSide far = new("far");
        await using RunningDispatcher running = _bench.Run(store, far);
        store.Save(Given.Step(Given.Opened()));
        // Whether the loop looked before the notice came or not: it comes by the next look at the latest.
        Assert.Equal([Given.Opened().Key], await _bench.WhileTimePasses(far.Take(1), due => due == Options.Poll));
    }

    [Fact]
    public async Task A_failed_notice_is_tried_again_until_taken_before_any_later_one()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 3)]));
        int failures = 0;
        FarSide far = new("far", notice => notice.Job.Key.EndsWith('1') && ++failures <= 4 ? throw new IOException("away") : Task.CompletedTask);
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(DispatcherBench.Keys(0, 3), await _bench.WhileTimePasses(far.Take(3), _bench.IsRetry));
        Assert.Equal(5, failures);
    }

    [Fact]
    public async Task A_failure_is_counted_and_not_tried_again_before_its_time()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step(Given.Opened()));
        Channel<int> tries = Channel.CreateUnbounded<int>();
        FarSide far = new("far", _ =>
        {
            Assert.True(tries.Writer.TryWrite(0));
            throw new IOException("away");
        });
        await using RunningDispatcher running = _bench.Run(store, far);
        _ = await tries.Reader.ReadAsync(Ended);
        TimeSpan delay = await _bench.Clock.Waiting(_bench.IsRetry, Ended);
        Assert.InRange(delay, Options.FirstRetry / 2, Options.FirstRetry);
        _bench.Clock.Advance(delay - TimeSpan.FromTicks(1));
        running.Dispatcher.Signal();
        await running.Stop();
        Assert.False(tries.Reader.TryRead(out _), "a signal does not cut the delay short");
        Assert.Equal(1, Assert.Single(store.Pending("far", 10)).Tries);
    }

    [Fact]
    public async Task A_channel_that_hangs_or_fails_holds_back_no_other()
    {
        using PlantStore store = _bench.Store("hanging", "failing", "good");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 20)]));
        FarSide hanging = new("hanging", (_, cancellationToken) => Task.Delay(Timeout.Infinite, cancellationToken));
        FarSide failing = new("failing", _ => throw new IOException("away"));
        FarSide good = new("good");
        await using RunningDispatcher running = _bench.Run(store, hanging, failing, good);
        Assert.Equal(DispatcherBench.Keys(0, 20), await good.Take(20));
        await running.Stop();
        Assert.Empty(store.Pending("good", 100));
        Assert.Equal(20, store.Pending("failing", 100).Count);
        Assert.Equal(20, store.Pending("hanging", 100).Count);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(30)]
    public async Task A_delivery_counts_as_failed_when_it_takes_longer_than_its_channel_grants_the_far_side(int minutes)
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step(Given.Opened()));
        bool first = true;
        FarSide far = new("far", async (_, cancellationToken) =>
        {
            if (first)
            {
                first = false;
                await Task.Delay(Timeout.Infinite, cancellationToken);
            }
        })
        { AnswerTimeout = TimeSpan.FromMinutes(minutes) };
        await using RunningDispatcher running = _bench.Run(store, far);
        _bench.Clock.Advance(await _bench.Clock.Waiting(due => due == Options.DeliveryTimeout + far.AnswerTimeout, Ended));
        Assert.Equal([Given.Opened().Key], await _bench.WhileTimePasses(far.Take(1), _bench.IsRetry));
        await running.Stop();
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task Stopped_between_taking_and_marking_a_notice_comes_again_under_its_key_and_stands_once()
    {
        string queue = Path.Combine(_bench.Folder, "queue");
        FileQueueChannel files = new("files", queue);
        Channel<string> taken = Channel.CreateUnbounded<string>();
        // Takes the notice durably and is stopped before it can say so: what a crash at the worst moment does.
        FarSide dying = new("files", async (notice, cancellationToken) =>
        {
            await files.DeliverAsync(notice, cancellationToken);
            await taken.Writer.WriteAsync(notice.Key, cancellationToken);
            await Task.Delay(Timeout.Infinite, cancellationToken);
        });
        using (PlantStore store = _bench.Store("files"))
        {
            store.Save(Given.Step([.. DispatcherBench.Notices(0, 3)]));
            await using RunningDispatcher running = _bench.Run(store, dying);
            Assert.Equal(Given.Opened(Given.Job(key: "job-000")).Key, await taken.Reader.ReadAsync(Ended));
        }

        using PlantStore reopened = _bench.Store("files");
        List<string> again = [];
        FarSide alive = new("files", async (notice, cancellationToken) =>
        {
            again.Add(notice.Key);
            await files.DeliverAsync(notice, cancellationToken);
        });
        await using (RunningDispatcher running = _bench.Run(reopened, alive))
        {
            _ = await alive.Take(3);
        }

        Assert.Equal(DispatcherBench.Keys(0, 3), again);
        Assert.Equal(3, Directory.GetFiles(queue).Length);
    }

    [Fact]
    public async Task A_store_that_fails_for_a_while_stops_nothing()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step(Given.Opened()));
        FarSide far = new("far");
        await using RunningDispatcher running = _bench.Run(new FailingAtFirst(store, 3), far);
        Assert.Equal([Given.Opened().Key], await _bench.WhileTimePasses(far.Take(1), _bench.IsRetry));
    }

    [Fact]
    public void Faults_of_settings_and_names_are_told_at_once()
    {
        using PlantStore store = _bench.Store("far");
        DispatchOptions bad = new() { FirstRetry = TimeSpan.Zero, LongestRetry = TimeSpan.FromDays(2), DeliveryTimeout = TimeSpan.Zero, Poll = TimeSpan.Zero, RefusalsUntilSetAside = 0 };
        ArgumentException refused = Assert.Throws<ArgumentException>(() => new OutboxDispatcher(
            store, [new FarSide("a"), new FarSide("a")], bad, _bench.Clock, new Random(1), NullLogger<OutboxDispatcher>.Instance));
        Assert.Equal(6, refused.Message.Split(Environment.NewLine).Length);
    }

    /// <summary>A store that cannot be read at first: what a locked file looks like, without waiting for the lock.</summary>
    private sealed class FailingAtFirst(IOutbox outbox, int failures) : IOutbox
    {
        private int _left = failures;

        public IReadOnlyList<OutboxEntry> Pending(string channel, int limit, IReadOnlyCollection<string>? exceptVessels = null) =>
            --_left >= 0 ? throw new StoreUnavailableException("locked") : outbox.Pending(channel, limit, exceptVessels);

        public void MarkDelivered(string channel, long sequence) => outbox.MarkDelivered(channel, sequence);

        public void MarkFailed(string channel, long sequence, string error) => outbox.MarkFailed(channel, sequence, error);

        public void CountRefusal(string channel, long sequence) => outbox.CountRefusal(channel, sequence);

        public void SetAside(string channel, long sequence, DateTimeOffset at) => outbox.SetAside(channel, sequence, at);
    }
}
