using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Assessing;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Alarming;

/// <summary>Hands alarms to the outbox of their channels, and announces them in the log: those that one cause has brought as one line, each once.</summary>
internal sealed class AlarmWorker(
    PlantStore store, LiveRegister register, OutboxDispatcher dispatcher, AlarmHandling handling, PlantClock plantClock, ILogger<AlarmWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(5);

    /// <summary>Shelves end by the clock alone.</summary>
    private static readonly TimeSpan AtLeastEvery = TimeSpan.FromMinutes(1);

    private readonly HashSet<(string VesselId, AlarmKind Kind, DateTimeOffset Raised)> _announced = [];

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(LookEvery);
        (long, long, long)? seen = null;
        DateTimeOffset next = DateTimeOffset.MinValue;
        do
        {
            try
            {
                (long, long, long) version = store.AlarmVersion();
                if (version == seen && plantClock.Now < next)
                {
                    continue;
                }

                seen = version;
                next = plantClock.Now + AtLeastEvery;
                Announce();
                if (store.TellAlarms(plantClock.Now, vessel => register.Current.Find(vessel)?.Place ?? "") > 0)
                {
                    dispatcher.Signal();
                }
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
        foreach (AlarmGroup group in AlarmFlood.Groups(store.Alarms(plantClock.Now).Alarms, handling.Flood))
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
