using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Alarming;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>An alarm is announced in the log when it comes, and not again by each start of the service.</summary>
public sealed class AlarmWorkerTests : IDisposable
{
    private const string First = "SH1-A2";
    private const string Second = "HY1-A1";

    private readonly TemporaryFolder _folder = new();
    private readonly PlantStore _store;
    private readonly VesselRegister _register = SampleReadings.Register();

    public AlarmWorkerTests() => _store = new PlantStore(new StoreOptions { Path = _folder.File("driftwatch.db") });

    public void Dispose()
    {
        _store.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_start_announces_what_comes_and_not_what_stands()
    {
        string[] first = await RunAsync(() => AssessSilence(First));
        Assert.Contains(First, Assert.Single(first), StringComparison.Ordinal);
        Assert.Empty(await RunAsync(() => { }));
        string[] second = await RunAsync(() => AssessSilence(Second));
        Assert.Contains(Second, Assert.Single(second), StringComparison.Ordinal);
        Assert.DoesNotContain(First, second[0], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(59, false)]
    [InlineData(60, true)]
    [InlineData(-1, true)]
    [InlineData(-86400, true)]
    public void Shelves_are_looked_at_every_minute_and_at_once_when_a_clock_that_was_ahead_is_set_back(int secondsAfterTheLook, bool due)
    {
        DateTimeOffset look = new(2026, 3, 1, 6, 0, 0, TimeSpan.Zero);
        Assert.Equal(due, AlarmWorker.IsDue(look.AddSeconds(secondsAfterTheLook), look.AddMinutes(1)));
    }

    /// <summary>From the start of the service to its stop; what came in between is announced by then.</summary>
    private async Task<string[]> RunAsync(Action between)
    {
        HeardLog<AlarmWorker> log = new();
        using var worker = new AlarmWorker(
            _store, new LiveRegister(_register, _store), new OutboxDispatcher(_store, [], new DispatchOptions(), TimeProvider.System, new Random(1), NullLogger<OutboxDispatcher>.Instance),
            AlarmHandling.Usual, new PlantClock(TimeProvider.System), new ServiceHealth(TimeProvider.System, NullLogger<ServiceHealth>.Instance), log);
        await worker.StartAsync(TestContext.Current.CancellationToken);
        between();
        await worker.StopAsync(TestContext.Current.CancellationToken);
        return [.. log.Said.Select(said => said.Text)];
    }

    /// <summary>The first readings of a vessel, long ago: nothing has been seen of it since.</summary>
    private void AssessSilence(string vessel)
    {
        _ = _store.Commit([.. SampleReadings.Of(_register, vessel).Take(2000)], []);
        var assessor = new Assessor(new LiveRegister(_register, _store), _store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
        assessor.TakeInWaiting(CancellationToken.None);
        assessor.LetTimePass(TimeProvider.System.GetUtcNow(), CancellationToken.None);
    }
}
