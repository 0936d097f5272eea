using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Acquiring;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>The watched folder in the service: what is wrong with it is told, and stops nothing.</summary>
public sealed class DropWorkerTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly ServiceHealth _health = new(TimeProvider.System, NullLogger<ServiceHealth>.Instance);

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_folder_that_is_away_is_told_once_and_files_are_taken_when_it_comes()
    {
        string share = _folder.File("share");
        await File.WriteAllTextAsync(share, "not mounted", Ended);
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        using PlantStore store = new(new StoreOptions { Path = _folder.File("plant.db") });
        HeardLog<DropWorker> log = new();
        using DropWorker worker = new(new DropFolder(share, new LoggerImporter(register, store), TimeSpan.Zero), _health, log);
        await worker.StartAsync(Ended);
        await BecomesAsync(HealthState.Degraded);

        // Two more looks: each complains anew of what was settled.
        for (int look = 0; look < 2; look++)
        {
            _health.Settle(ServicePart.Drops, Matter.Files);
            await BecomesAsync(HealthState.Degraded);
        }

        File.Delete(share);
        await BecomesAsync(HealthState.Good);
        await worker.StopAsync(Ended);
        Assert.Equal([3022], log.Warned);
        Assert.True(Directory.Exists(share));
    }

    private async Task BecomesAsync(HealthState state)
    {
        using CancellationTokenSource patience = CancellationTokenSource.CreateLinkedTokenSource(Ended);
        patience.CancelAfter(MosquittoBroker.Patience);
        while (!_health.Parts.Any(part => part.Part == ServicePart.Drops && part.State == state))
        {
            await Task.Delay(50, patience.Token);
        }
    }
}
