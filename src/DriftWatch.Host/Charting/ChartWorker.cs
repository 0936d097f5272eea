using DriftWatch.Host.Output;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Charting;

/// <summary>Keeps the charts of a running service up to date: those whose assessment changed, every few minutes.</summary>
internal sealed class ChartWorker(
    LiveRegister register, PlantStore store, ChartPlace place, ILogger<ChartWorker> log) : BackgroundService
{
    private const int ChartsTogether = 8;

    private static readonly TimeSpan Interval = TimeSpan.FromMinutes(5);

    private readonly Dictionary<string, Assessment> _drawn = new(StringComparer.Ordinal);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval);
        int drawn = 0;
        do
        {
            foreach (Vessel vessel in register.Current.Vessels)
            {
                stoppingToken.ThrowIfCancellationRequested();
                if (Draw(vessel) && ++drawn % ChartsTogether == 0)
                {
                    // The drawing library leaves its native memory to finalizers, and the managed heap is too small to call
                    // for them by itself: without this a round of a thousand charts takes hundreds of megabytes. All generations,
                    // for a collection of the young ones alone makes what is at work meanwhile old before its time, where it stays.
                    GC.Collect(2, GCCollectionMode.Forced, blocking: true);
                    GC.WaitForPendingFinalizers();
                }
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    private bool Draw(Vessel vessel)
    {
        try
        {
            if (store.LastAssessment(vessel.Id) is { } assessment && assessment != _drawn.GetValueOrDefault(vessel.Id))
            {
                ChartFolder.Draw(place.Folder, new VesselResult(vessel, store.Windows(vessel.Id), assessment), place.Unit);
                _drawn[vessel.Id] = assessment;
                return true;
            }
        }
        catch (Exception exception) when (exception is StoreUnavailableException or IOException or UnauthorizedAccessException)
        {
            // A chart is a picture of what the store holds; the next round draws it.
            HostLog.ChartFailed(log, exception, vessel.Id, exception.Message);
        }

        return false;
    }
}
