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
        HashSet<string> toldStuck = new(StringComparer.Ordinal);
        string? toldWait = null;
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

                toldStuck.IntersectWith(folder.Stuck.Select(stuck => stuck.Name));
                foreach ((string name, string reason) in folder.Stuck.Where(stuck => toldStuck.Add(stuck.Name)))
                {
                    HostLog.FileStuck(log, name, reason);
                }

                toldWait = null;
                health.Tell(ServicePart.Drops, Matter.Files, folder.Stuck is [var (stuckName, why), ..]
                    ? Waiting(FormattableString.Invariant($"{folder.Stuck.Count} file{(folder.Stuck.Count == 1 ? "" : "s")} could not be read or moved, '{stuckName}' among them: {why}"))
                    : null);
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or StoreUnavailableException)
            {
                // The file stays where it is and is tried again. A share may be away for days: that is told once.
                if (exception.Message != toldWait)
                {
                    HostLog.DropsWait(log, exception, exception.Message);
                    toldWait = exception.Message;
                }

                health.Raise(ServicePart.Drops, Waiting(exception.Message));
            }
            catch (OperationCanceledException)
            {
                break;
            }

            await Task.Delay(LookEvery, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static Complaint Waiting(string why) =>
        new(Matter.Files, HealthState.Degraded, why, "What lies there stays and is tried again every 2 s: see that the folder is there, let this user read and move what lies in it, and see the store.");
}
