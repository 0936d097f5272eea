using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Alarming;

/// <summary>Hands alarms to the outbox of their channels, and announces them in the log: those that one cause has brought as one line, each once.</summary>
internal sealed class AlarmWorker(
    PlantStore store, LiveRegister register, OutboxDispatcher dispatcher, AlarmHandling handling, PlantClock plantClock, ServiceHealth health,
    ILogger<AlarmWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(5);

    /// <summary>Shelves end by the clock alone.</summary>
    private static readonly TimeSpan AtLeastEvery = TimeSpan.FromMinutes(1);

    private readonly HashSet<(string VesselId, AlarmKind Kind, DateTimeOffset Raised)> _announced = [];

    /// <summary>What stands already, before anything is assessed anew, was announced by the service before.</summary>
    public override Task StartAsync(CancellationToken cancellationToken)
    {
        try
        {
            foreach (Alarm alarm in store.Alarms(plantClock.Now).Alarms.Where(IsNews))
            {
                _ = _announced.Add(KeyOf(alarm));
            }
        }
        catch (StoreUnavailableException)
        {
            // The first look says so.
        }

        return base.StartAsync(cancellationToken);
    }

    /// <summary>Looks a last time, as the next start takes what stands for announced. The assessment has ended by then.</summary>
    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        try
        {
            Announce();
        }
        catch (StoreUnavailableException exception)
        {
            HostLog.AlarmsWait(log, exception, exception.Message);
        }
    }

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
                if (version == seen && !IsDue(plantClock.Now, next))
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

                health.Settle(ServicePart.Alarms, Matter.Store);
            }
            catch (StoreUnavailableException exception)
            {
                HostLog.AlarmsWait(log, exception, exception.Message);
                health.Raise(ServicePart.Alarms, new Complaint(
                    Matter.Store, HealthState.Failed, exception.Message, "Alarms stand in the store and are told once it can be used again; see the store."));
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    /// <summary>Whether to look though nothing has changed. A clock that went ahead and was set back does not put the look off until it is there again.</summary>
    internal static bool IsDue(DateTimeOffset now, DateTimeOffset next) => now >= next || next - now > AtLeastEvery;

    private void Announce()
    {
        foreach (AlarmGroup group in AlarmFlood.Groups(store.Alarms(plantClock.Now).Alarms, handling.Flood))
        {
            Alarm[] fresh =
            [
                .. group.Alarms.Where(alarm => IsNews(alarm) && _announced.Add(KeyOf(alarm))),
            ];
            if (fresh.Length > 0)
            {
                HostLog.AlarmAnnounced(
                    log, group.Priority.ToString(), group.Kind.ToString(), string.Join(", ", fresh.Select(alarm => alarm.VesselId)),
                    group.IsFlood ? group.LikelyCause : fresh[0].Why);
            }
        }
    }

    private static bool IsNews(Alarm alarm) => alarm.Status.State == AlarmState.Unacknowledged;

    private static (string VesselId, AlarmKind Kind, DateTimeOffset Raised) KeyOf(Alarm alarm) => (alarm.VesselId, alarm.Kind, alarm.Raised);
}
