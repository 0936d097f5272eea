using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Storage;

namespace DriftWatch.Delivery.Tests.Dispatch;

/// <summary>Floods of alarms over the real store: told as one where the channel can, and lost by none.</summary>
public sealed class FloodTests : IDisposable
{
    private readonly DispatcherBench _bench = new(new DispatchOptions());

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task Alarms_that_follow_each_other_are_handed_over_together_and_a_job_between_them_keeps_its_place()
    {
        using PlantStore store = Store();
        Raise(store, "V1", "V2");
        store.Save(Given.Step(Given.Opened(Given.Job("V1"))));
        Raise(store, "V3", "V4", "V5");
        FloodedSide far = new(_ => false);
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(
            ["V1/DataFault/1", "V2/DataFault/1", Given.Opened(Given.Job("V1")).Key, "V3/DataFault/1 V4/DataFault/1 V5/DataFault/1"], await far.Jobs.Take(4));
        await running.Stop();
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task A_flood_that_is_not_taken_as_one_is_told_one_by_one_and_only_the_refused_one_is_set_aside()
    {
        using PlantStore store = Store();
        Raise(store, "V1", "V2", "V3", "V4");
        FloodedSide far = new(notice => notice.Alarm.VesselId == "V2");
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal(["V1/DataFault/1", "V3/DataFault/1", "V4/DataFault/1"], await far.Jobs.Take(3));
        await running.Stop();
        Assert.Equal("V2/DataFault/1", Assert.Single(store.DeadLetters()).Notice.Key);
        Assert.Empty(store.Pending("far", 10));
    }

    [Fact]
    public async Task A_channel_that_tells_no_alarms_any_more_sets_aside_those_that_wait_and_goes_on_with_jobs()
    {
        using PlantStore store = Store();
        Raise(store, "V1");
        store.Save(Given.Step(Given.Opened(Given.Job("V1"))));
        FarSide far = new("far");
        await using RunningDispatcher running = _bench.Run(store, far);
        Assert.Equal([Given.Opened(Given.Job("V1")).Key], await far.Take(1));
        await running.Stop();
        Assert.Equal("V1/DataFault/1", Assert.Single(store.DeadLetters()).Notice.Key);
    }

    private PlantStore Store() => new(new StoreOptions { Path = Path.Combine(_bench.Folder, "plant.db"), Channels = ["far"], AlarmChannels = ["far"] });

    private static void Raise(PlantStore store, params string[] vessels)
    {
        foreach (string vessel in vessels)
        {
            store.Save(Given.Step(Given.Opened(Given.Job(vessel))) with
            {
                VesselId = vessel,
                Notices = [],
                AlarmChanges = [new AlarmChange(vessel, AlarmKind.DataFault, Given.Instant, AlarmEvent.ConditionOn, Priority.Low, "stuck")],
            });
        }

        Assert.Equal(vessels.Length, store.TellAlarms(Given.Instant, _ => ""));
    }

    /// <summary>Tells three alarms or more as one, and refuses what holds one that it cannot take.</summary>
    private sealed class FloodedSide(Predicate<AlarmNotice> refuses) : IJobChannel, IFloodChannel
    {
        public FarSide Jobs { get; } = new("far");

        public string Name => "far";

        public int FewestTogether => 3;

        public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) => Jobs.DeliverAsync(notice, cancellationToken);

        public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => DeliverAsync([notice], cancellationToken);

        public Task DeliverAsync(IReadOnlyList<AlarmNotice> notices, CancellationToken cancellationToken)
        {
            if (notices.Any(notice => refuses(notice)))
            {
                throw new NoticeRefusedException("cannot be read", permanent: true);
            }

            return Jobs.NoteAsync(string.Join(' ', notices.Select(notice => notice.Key)), cancellationToken);
        }
    }
}
