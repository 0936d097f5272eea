using DriftWatch.Acquisition.Files;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Acquiring;

/// <summary>Looks into the watched folder from time to time.</summary>
internal sealed class DropWorker(DropFolder folder, ILogger<DropWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
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
                        HostLog.FileTaken(log, file.File, file.Readings, file.Rejected);
                    }
                }
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or StoreUnavailableException)
            {
                // The file stays where it is and is tried again.
                HostLog.DropsWait(log, exception, exception.Message);
            }
            catch (OperationCanceledException)
            {
                break;
            }

            await Task.Delay(LookEvery, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
