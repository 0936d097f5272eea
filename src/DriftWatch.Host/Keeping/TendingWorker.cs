using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Keeping;

/// <summary>Packs the days that are over and lets go of what is past its retention, once an hour.</summary>
internal sealed class TendingWorker(PlantStore store, PlantClock plantClock, ServiceHealth health, ILogger<TendingWorker> log) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromHours(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            try
            {
                store.Tend(plantClock.Now, stoppingToken);
                health.Settle(ServicePart.Store, Matter.Packing);
            }
            catch (StoreUnavailableException exception)
            {
                // What is left is done at the next round.
                HostLog.TendingWaits(log, exception, exception.Message);
                health.Raise(ServicePart.Store, new Complaint(Matter.Packing, HealthState.Degraded, exception.Message, "What is left is packed at the next round, once an hour."));
            }
        }
    }
}
