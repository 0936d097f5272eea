using DriftWatch.Host.Health;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Settings;

/// <summary>
/// Takes the level of the log in from a settings file changed while the service runs, and says which changes wait for the next
/// start. Looks from time to time rather than waits to be told, as network shares and mounted files tell nothing.
/// </summary>
internal sealed class SettingsWorker(
    string file, ServiceSettings inUse, LogThreshold threshold, ServiceHealth health, ILogger<SettingsWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
        using var timer = new PeriodicTimer(LookEvery);
        (DateTime Written, long Length)? taken = null;
        (DateTime Written, long Length) seen = Now();

        // The first look is at a file that may have changed since the service read it.
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            (DateTime Written, long Length) now = Now();
            bool stands = now == seen;
            seen = now;

            // A file must have stood still, as an editor may write it bit by bit.
            if (now != taken && stands)
            {
                Take(first: taken is null);
                taken = now;
            }
        }
    }

    private void Take(bool first)
    {
        (ServiceSettings? settings, IReadOnlyList<string> faults) = SettingsReader.Read(file, toRun: false);
        if (settings is null)
        {
            HostLog.SettingsRefused(log, file, faults.Count, string.Join(Environment.NewLine, faults));
            health.Raise(ServicePart.Settings, new Complaint(
                Matter.Defects, HealthState.Degraded, FormattableString.Invariant($"The settings file was changed and has faults, the next start would fail: {faults[0]}"),
                $"Mend the file '{file}'; 'settings check' tells every fault. The settings before stay in use."));
            return;
        }

        health.Settle(ServicePart.Settings, Matter.Defects);
        string[] waiting = [.. SettingsJson.Differences(inUse with { Log = inUse.Log with { Level = settings.Log.Level } }, settings)];
        if (first && waiting.Length == 0 && settings.Log.LeastLevel == threshold.Least)
        {
            return;
        }

        threshold.Least = settings.Log.LeastLevel;
        HostLog.SettingsTaken(log, file, settings.Log.Level, waiting.Length > 0 ? string.Join(", ", waiting) : "nothing");
    }

    private (DateTime Written, long Length) Now()
    {
        FileInfo info = new(file);
        return (info.LastWriteTimeUtc, info.Exists ? info.Length : 0);
    }
}
