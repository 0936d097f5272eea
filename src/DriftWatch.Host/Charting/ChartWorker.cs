using DriftWatch.Host.Health;
using DriftWatch.Host.Output;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Charting;

/// <summary>Keeps the charts of a running service up to date: those that would show something else, every few minutes.</summary>
internal sealed class ChartWorker(
    LiveRegister register, PlantStore store, ChartPlace place, ServiceHealth health, ILogger<ChartWorker> log) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromMinutes(5);

    private readonly Dictionary<string, DrawnChart> _drawn = new(StringComparer.Ordinal);

    // A thread of its own: the memory that the drawing library asks of the system is kept by thread, and round after round on
    // another one of the pool would keep it many times over.
    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        Task.Factory.StartNew(() => Work(stoppingToken), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    private void Work(CancellationToken stoppingToken)
    {
        do
        {
            DrawWhatChanged(stoppingToken);
        }
        while (!stoppingToken.WaitHandle.WaitOne(Interval));
    }

    private void DrawWhatChanged(CancellationToken stoppingToken)
    {
        List<(string Vessel, string Why)> failed = [];
        Lazy<IReadOnlyDictionary<string, long>> windowChanges = new(store.WindowChanges, LazyThreadSafetyMode.PublicationOnly);
        foreach (Vessel vessel in register.Current.Vessels)
        {
            if (stoppingToken.IsCancellationRequested)
            {
                return;
            }

            Draw(vessel, windowChanges, failed);
        }

        health.Tell(ServicePart.Charts, Matter.Drawing, failed is [var (first, why), ..]
            ? new Complaint(
                Matter.Drawing, HealthState.Degraded,
                FormattableString.Invariant($"{failed.Count} chart{(failed.Count == 1 ? "" : "s")} could not be drawn, that of {first} among them: {why}"),
                $"They are drawn at the next round, every 5 min; let the service write the folder '{place.Folder}'.")
            : null);
    }

    private void Draw(Vessel vessel, Lazy<IReadOnlyDictionary<string, long>> windowChanges, List<(string Vessel, string Why)> failed)
    {
        try
        {
            if (store.LastAssessment(vessel.Id) is { } assessment
                && DrawnChart.Of(vessel, windowChanges.Value.GetValueOrDefault(vessel.Id), assessment) is var chart && chart != _drawn.GetValueOrDefault(vessel.Id))
            {
                ChartFolder.Draw(place.Folder, new VesselResult(vessel, store.Windows(vessel.Id), assessment), place.Unit);
                _drawn[vessel.Id] = chart;
            }
        }
        catch (Exception exception) when (exception is StoreUnavailableException or IOException or UnauthorizedAccessException)
        {
            // A chart is a picture of what the store holds; the next round draws it.
            HostLog.ChartFailed(log, exception, vessel.Id, exception.Message);
            failed.Add((vessel.Id, exception.Message));
        }
    }
}
