using DriftWatch.Delivery.Dispatch;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A real store in a folder of its own and a clock under the test's command, to run dispatchers on.</summary>
internal sealed class DispatcherBench(DispatchOptions options) : IDisposable
{
    private readonly TempFolder _folder = new();

    public string Folder => _folder.Path;

    public WatchedClock Clock { get; } = new();

    public static IEnumerable<JobNotice> Notices(int first, int count, string vessel = "P3-ACC-2") =>
        Enumerable.Range(first, count).Select(i => Given.Opened(Given.Job(vessel, key: $"job-{i:D3}")));

    public static IEnumerable<string> Keys(int first, int count, string vessel = "P3-ACC-2") => Notices(first, count, vessel).Select(notice => notice.Key);

    public PlantStore Store(params string[] channels) =>
        new(new StoreOptions { Path = Path.Combine(Folder, "plant.db"), Channels = channels });

    public RunningDispatcher Run(IOutbox outbox, params IJobChannel[] channels) =>
        new(new OutboxDispatcher(outbox, channels, options, Clock, new Random(1), NullLogger<OutboxDispatcher>.Instance));

    /// <summary>The delays after a few failures are none of the other times that the dispatcher waits for.</summary>
    public bool IsRetry(TimeSpan due) => due > TimeSpan.Zero && due < options.Poll;

    /// <summary>Lets the time pass that is waited for, as often as it is, until a task ends.</summary>
    public async Task<T> WhileTimePasses<T>(Task<T> task, Predicate<TimeSpan> fits)
    {
        using CancellationTokenSource done = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        async Task Pass()
        {
            while (!task.IsCompleted)
            {
                Clock.Advance(await Clock.Waiting(fits, done.Token));
            }
        }

        Task passing = Pass();
        T result = await task;
        await done.CancelAsync();
        try
        {
            await passing;
        }
        catch (OperationCanceledException)
        {
            // Nobody waits any more.
        }

        return result;
    }

    public void Dispose() => _folder.Dispose();
}
