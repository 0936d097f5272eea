using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Health;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Assessing;

/// <summary>Assesses vessels as their readings come, and notices silence once a minute, or once in five where something always waits.</summary>
internal sealed class AssessmentWorker(
    Assessor assessor, PlantStore store, LiveRegister register, WorkSignal signal, OutboxDispatcher dispatcher, PlantClock plantClock, ServiceHealth health,
    ILogger<AssessmentWorker> log) : BackgroundService
{
    private static readonly TimeSpan LookForSilence = TimeSpan.FromMinutes(1);

    /// <summary>
    /// What waits is taken in first: a vessel whose readings are still on their way is not silent. A plant that always has some
    /// vessel's readings waiting must not put the look off for ever.
    /// </summary>
    private static readonly TimeSpan LongestPutOff = TimeSpan.FromMinutes(4);

    /// <summary>Readings that come in one after the other are taken in together: a step costs a commit.</summary>
    private static readonly TimeSpan BetweenRounds = TimeSpan.FromMilliseconds(250);

    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(5);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        // The host starts its services one after the other; the work must not hold back the next.
        await Task.Yield();
        var retired = new RetiredVessels(store, register, log);
        DateTimeOffset nextLook = plantClock.Now + LookForSilence;
        while (!stoppingToken.IsCancellationRequested)
        {
            TimeSpan wait = LongestWait;
            try
            {
                bool took = assessor.TakeInWaiting(stoppingToken) > 0;
                if (took)
                {
                    dispatcher.Signal();
                    wait = BetweenRounds;
                }

                DateTimeOffset now = plantClock.Now;
                if (nextLook - now > LookForSilence)
                {
                    // A clock that went ahead was set back: the look must not wait until it is there again.
                    nextLook = now;
                }

                if (took ? now >= nextLook + LongestPutOff : now >= nextLook || assessor.TimeIsDue)
                {
                    assessor.LetTimePass(now, stoppingToken);
                    dispatcher.Signal();
                    nextLook = now + LookForSilence;
                }

                foreach (string id in retired.Withdraw(now))
                {
                    assessor.Forget(id);
                    dispatcher.Signal();
                }

                health.Settle(ServicePart.Assessment, Matter.Store);
            }
            catch (StoreUnavailableException exception)
            {
                // Nothing is lost: what waits is still waiting when the store is back.
                HostLog.AssessmentWaits(log, exception, exception.Message);
                health.Raise(ServicePart.Assessment, new Complaint(Matter.Store, HealthState.Failed, exception.Message, "It goes on by itself once the store can be used again; see the store."));
            }

            if (wait == BetweenRounds)
            {
                await Task.Delay(wait, stoppingToken);
            }
            else
            {
                await signal.WaitAsync(wait, stoppingToken);
            }
        }
    }
}
