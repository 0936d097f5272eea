using DriftWatch.Delivery.Dispatch;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Delivering;

/// <summary>Runs the delivery of jobs and alarms; before it, lets go of what waits for channels that are no longer in the settings.</summary>
internal sealed class DeliveryWorker(OutboxDispatcher dispatcher, PlantStore store, ILogger<DeliveryWorker> log) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
        LetGo();
        await dispatcher.RunAsync(stoppingToken);
    }

    private void LetGo()
    {
        try
        {
            foreach (WaitingNotices gone in store.LetGoOfNoticesForOthers([.. dispatcher.Status.Select(channel => channel.Channel)]))
            {
                HostLog.ChannelGone(log, gone.Channel, gone.Count);
            }
        }
        catch (StoreUnavailableException)
        {
            // The health of the store tells it. What waits for nobody keeps until the next start.
        }
    }
}
