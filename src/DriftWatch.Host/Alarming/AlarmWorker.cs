using DriftWatch.Host.Assessing;
using DriftWatch.Plant.Alarms;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Alarming;

/// <summary>Announces alarms in the log: those that one cause has brought as one line, each once.</summary>
internal sealed class AlarmWorker(PlantStore store, PlantClock plantClock, ILogger<AlarmWorker> log) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromMinutes(1);

    private readonly HashSet<(string VesselId, AlarmKind Kind, DateTimeOffset Raised)> _announced = [];

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval);
        do
        {
            try
            {
                Announce();
            }
            catch (StoreUnavailableException exception)
            {
                HostLog.AssessmentWaits(log, exception, exception.Message);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    private void Announce()
    {
        foreach (AlarmGroup group in AlarmFlood.Groups(store.Alarms(plantClock.Now).Alarms))
        {
            Alarm[] fresh =
            [
                .. group.Alarms.Where(alarm => alarm.Status.State == AlarmState.Unacknowledged
                    && _announced.Add((alarm.VesselId, alarm.Kind, alarm.Raised))),
            ];
            if (fresh.Length > 0)
            {
                HostLog.AlarmAnnounced(
                    log, group.Priority.ToString(), group.Kind.ToString(), string.Join(", ", fresh.Select(alarm => alarm.VesselId)),
                    group.IsFlood ? group.LikelyCause : fresh[0].Why);
            }
        }
    }
}
