using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Health;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Acquiring;

/// <summary>Looks into the watched folder from time to time.</summary>
internal sealed class DropWorker(DropFolder folder, ServiceHealth health, ILogger<DropWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
        HashSet<string> told = new(StringComparer.Ordinal);
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                foreach (ImportedFile file in folder.Sweep(DateTimeOffset.UtcNow, stoppingToken))
                {
                    if (file.Failed)
                    {
                        HostLog.FileFailed(log, file.File, file.RejectsFile);
                    }
                    else
                    {
                        HostLog.FileTaken(log, file.File, file.Committed.Entered, file.Rejected, file.Remarks);
                    }
                }

                told.IntersectWith(folder.PassedOver);
                foreach (string name in folder.PassedOver.Where(told.Add))
                {
                    HostLog.FilePassedOver(log, name);
                }

                health.Settle(ServicePart.Drops, "files");
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or StoreUnavailableException)
            {
                // The file stays where it is and is tried again.
                HostLog.DropsWait(log, exception, exception.Message);
                health.Raise(ServicePart.Drops, new Complaint(
                    "files", HealthState.Degraded, exception.Message, "The file stays and is tried again every 2 s: let this user read and move it, and see the store."));
            }
            catch (OperationCanceledException)
            {
                break;
            }

            await Task.Delay(LookEvery, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
