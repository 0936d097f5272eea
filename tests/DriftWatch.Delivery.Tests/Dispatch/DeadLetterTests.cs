using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage;

namespace DriftWatch.Delivery.Tests.Dispatch;

/// <summary>Notices that the far side will not take, over the real store.</summary>
public sealed class DeadLetterTests : IDisposable
{
    private static readonly DispatchOptions Options = new() { RefusalsUntilSetAside = 4 };

    private readonly DispatcherBench _bench = new(Options);

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task A_notice_refused_for_good_is_set_aside_at_once_and_holds_back_nothing()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 3)]));
        FarSide far = new("far", notice => notice.Job.Key.EndsWith('0') ? throw new NoticeRefusedException("unknown field", permanent: true) : Task.CompletedTask);
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(DispatcherBench.Keys(1, 2), await far.Take(2));
        await running.Stop();
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(("far", DispatcherBench.Keys(0, 1).Single(), 1, "unknown field"), (letter.Channel, letter.Notice.Key, letter.Tries, letter.Error));
        Assert.Equal(_bench.Clock.GetUtcNow(), letter.SetAside);
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task A_notice_refused_for_now_holds_back_its_own_vessel_until_it_is_set_aside()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 2, "A")]));
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 40, "B")]));
        int tries = 0;
        FarSide far = new("far", notice => notice.Key == "A/job-000/open/1" && ++tries > 0 ? throw new NoticeRefusedException("busy", permanent: false) : Task.CompletedTask);
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(DispatcherBench.Keys(0, 40, "B"), await far.Take(40));
        Assert.Equal(["A/job-001/open/1"], await _bench.WhileTimePasses(far.Take(1), _bench.IsRetry));
        Assert.Equal(Options.RefusalsUntilSetAside, tries);
        Assert.Equal("A/job-000/open/1", Assert.Single(store.DeadLetters()).Notice.Key);
    }

    /// <summary>A machine may start with a clock that is a year ahead.</summary>
    [Fact]
    public async Task A_refused_notice_is_tried_again_in_its_time_though_the_clock_was_set_back()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step(Given.Opened()));
        _bench.Clock.Off = TimeSpan.FromDays(365);
        bool refused = false;
        FarSide far = new("far", _ =>
        {
            if (refused)
            {
                return Task.CompletedTask;
            }

            refused = true;
            throw new NoticeRefusedException("busy", permanent: false);
        });
        await using RunningDispatcher running = _bench.Run(store, far);
        TimeSpan delay = await _bench.Clock.Waiting(_bench.IsRetry, TestContext.Current.CancellationToken);
        _bench.Clock.Off = TimeSpan.Zero;
        _bench.Clock.Advance(delay);
        Assert.Equal([Given.Opened().Key], await far.Take(1));
    }

    /// <summary>A far side that falls over one notice cannot say that it refuses it: the others must get through all the same.</summary>
    [Fact]
    public async Task A_notice_that_breaks_the_connection_each_time_is_found_out_and_set_aside()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step([.. DispatcherBench.Notices(0, 1, "poison")]));
        for (int i = 0; i < 10; i++)
        {
            store.Save(Given.Step([.. DispatcherBench.Notices(0, 1, $"V{i}")]));
        }

        int tries = 0;
        FarSide far = new("far", notice => notice.Job.VesselId == "poison" && ++tries > 0 ? throw new IOException("connection reset") : Task.CompletedTask);
        await using RunningDispatcher running = _bench.Run(store, far);
        List<string> taken = await _bench.WhileTimePasses(far.Take(10), _bench.IsRetry);
        Assert.Equal(10, taken.Distinct().Count());

        // New notices keep coming: each that is taken while the first fails is one more sign whose fault it is.
        for (int i = 10; store.DeadLetters().Count == 0; i++)
        {
            Assert.True(i < 200, "set aside at last");
            store.Save(Given.Step([.. DispatcherBench.Notices(0, 1, $"V{i}")]));
            running.Dispatcher.Signal();
            _ = await _bench.WhileTimePasses(far.Take(1), due => due <= Options.LongestRetry);
        }

        Assert.Equal("poison", Assert.Single(store.DeadLetters()).Notice.VesselId);
        Assert.True(tries >= Options.RefusalsUntilSetAside, $"{tries} tries");
    }

    [Fact]
    public async Task An_hour_of_outage_holds_back_no_other_channel_sets_nothing_aside_and_loses_nothing()
    {
        using PlantStore store = _bench.Store("away", "good");

        bool isBack = false;
        int failures = 0;
        TaskCompletionSource<int> oftenEnough = new(TaskCreationOptions.RunContinuationsAsynchronously);
        FarSide away = new("away", _ =>
        {
            if (isBack)
            {
                return Task.CompletedTask;
            }

            if (++failures > Options.RefusalsUntilSetAside)
            {
                oftenEnough.TrySetResult(failures);
            }

            throw new IOException("connection refused");
        });
        FarSide good = new("good");
        await using RunningDispatcher running = _bench.Run(store, away, good);

        // A notice a minute of five vessels in turn, all through the hour; the good channel has each before the next comes.
        List<string> sent = [];
        for (int minute = 0; minute < 60; minute++)
        {
            JobNotice notice = Given.Opened(Given.Job($"V{minute % 5}", $"job-{minute:D3}"));
            store.Save(Given.Step(notice));
            sent.Add(notice.Key);
            running.Dispatcher.Signal();
            Assert.Equal([notice.Key], await good.Take(1));
            _bench.Clock.Advance(TimeSpan.FromMinutes(1));
        }

        // The hour may have gone by faster than the channel could try: the outage lasts until it failed more often than a refused notice may.
        _ = await _bench.WhileTimePasses(oftenEnough.Task, due => due > TimeSpan.Zero && due <= Options.LongestRetry);
        Assert.Equal(60, store.Pending("away", 100).Count);
        isBack = true;
        List<string> arrived = await _bench.WhileTimePasses(away.Take(60), due => due > TimeSpan.Zero && due <= Options.LongestRetry);
        Assert.Equal(sent.Order(StringComparer.Ordinal), arrived.Order(StringComparer.Ordinal));
        for (int vessel = 0; vessel < 5; vessel++)
        {
            string prefix = $"V{vessel}/";
            Assert.Equal(sent.Where(key => key.StartsWith(prefix, StringComparison.Ordinal)), arrived.Where(key => key.StartsWith(prefix, StringComparison.Ordinal)));
        }

        Assert.Empty(store.DeadLetters());
    }

    [Fact]
    public async Task A_dead_letter_sent_again_is_followed_by_the_later_notices_of_its_vessel()
    {
        using PlantStore store = _bench.Store("far");
        store.Save(Given.Step(Given.Opened(Given.Job("A"))));
        store.Save(Given.Step(Given.Closed(Given.Job("A"))));
        store.Save(Given.Step(Given.Opened(Given.Job("B"))));
        bool mended = false;
        FarSide far = new("far", notice => !mended && notice is { State: JobState.Open, Job.VesselId: "A" } ? throw new NoticeRefusedException("no such plant", permanent: true) : Task.CompletedTask);
        await using RunningDispatcher running = _bench.Run(store, far);
        string closed = Given.Closed(Given.Job("A")).Key;
        Assert.Equal([closed, Given.Opened(Given.Job("B")).Key], await far.Take(2));

        mended = true;
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(2, store.Resend(letter.Channel, letter.Sequence));
        running.Dispatcher.Signal();
        Assert.Equal([Given.Opened(Given.Job("A")).Key, closed], await far.Take(2));
        Assert.Equal(0, store.Resend(letter.Channel, letter.Sequence));
        Assert.Empty(store.DeadLetters());
    }
}
