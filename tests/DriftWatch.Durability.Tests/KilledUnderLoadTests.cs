using System.Globalization;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>
/// Never lose, never double: the service is killed at random moments under load, the broker restarted, and in the end
/// the store holds each reading that was acknowledged to its sender, once.
/// </summary>
public sealed class KilledUnderLoadTests
{
    private const int Kills = 55;
    private const int BrokerRestarts = 11;
    private const int EmbeddedKills = 15;
    private const int PacksPerRound = 40;

    [Fact]
    public async Task With_an_outside_broker_that_restarts_too()
    {
        Random random = Seeded();
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "host": "127.0.0.1", "port": {{broker.Port}} }"""));

        // A session must be there before the first pack: a broker drops what nobody has asked for.
        Task subscribed = broker.Log.FromNowAsync("Sending SUBACK to driftwatch");
        using (ServiceProcess first = ServiceProcess.Start(folder.Settings))
        {
            await subscribed.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
            await first.TerminateAsync();
        }

        await using Gateways gateways = new(broker.Port, subscribed: true);
        int restarts = 0;
        for (int kill = 0; kill < Kills; kill++)
        {
            // Some packs wait at the broker when the service comes, the others are sent while it is busy.
            gateways.Allow(PacksPerRound / 2);
            TaskCompletionSource killed = new();
            Task more = AllowMoreAsync(broker, gateways, killed.Task);
            bool restart = kill % (Kills / BrokerRestarts) == 2;
            Task sent = MomentAsync(broker, random);
            Task? busy = restart && random.Next(2) == 0 ? broker.Log.FromNowAsync("Sending PUBLISH to driftwatch", random.Next(1, 30)) : null;
            using ServiceProcess service = ServiceProcess.Start(folder.Settings);
            if (busy is not null)
            {
                // With the service on the line; it comes back by itself and goes on.
                await busy.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
                await RestartAsync(broker, gateways, random);
                restarts++;
                restart = false;
            }

            await sent.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
            Thread.SpinWait(random.Next(200_000));
            await service.KillAsync();
            killed.SetResult();
            await more;
            if (restart)
            {
                await RestartAsync(broker, gateways, random);
                restarts++;
            }
        }

        Assert.True(restarts >= 10, $"only {restarts} restarts of the broker");
        await gateways.AllAcknowledgedAsync();
        using ServiceProcess last = ServiceProcess.Start(folder.Settings);
        await folder.HoldsAsync(gateways.AcknowledgedReadings, last);
        await last.TerminateAsync();
        folder.AssertHoldsWhatWasAcknowledged(gateways);
    }

    [Fact]
    public async Task With_the_embedded_broker_that_is_killed_with_it()
    {
        Random random = Seeded();
        int port = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""));
        await using Gateways gateways = new(port, subscribed: false);
        for (int kill = 0; kill < EmbeddedKills; kill++)
        {
            gateways.Allow(PacksPerRound);
            Task sent = gateways.AcknowledgedAsync(random.Next(1, Gateways.Vessels * PacksPerRound / 2));
            using ServiceProcess service = ServiceProcess.Start(folder.Settings);
            await sent.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
            Thread.SpinWait(random.Next(200_000));
            await service.KillAsync();
        }

        using ServiceProcess last = ServiceProcess.Start(folder.Settings);
        await gateways.AllAcknowledgedAsync();
        await last.TerminateAsync();
        folder.AssertHoldsWhatWasAcknowledged(gateways);
        Assert.True(gateways.SentAgain >= EmbeddedKills, "each kill cuts senders off");
    }

    /// <summary>A moment of the service's life: while it starts, while messages come in, while it acknowledges.</summary>
    private static Task MomentAsync(MosquittoBroker broker, Random random) => random.Next(5) switch
    {
        0 => broker.Log.FromNowAsync("Received SUBSCRIBE from driftwatch"),
        1 or 2 => broker.Log.FromNowAsync("Sending PUBLISH to driftwatch", random.Next(1, 300)),
        _ => broker.Log.FromNowAsync("Received PUBACK from driftwatch", random.Next(1, 250)),
    };

    private static async Task AllowMoreAsync(MosquittoBroker broker, Gateways gateways, Task killed)
    {
        // What waits in the session comes before the service has asked for anything. A line on the service before may come late and end its
        // life before it has connected.
        await await Task.WhenAny(broker.Log.FromNowAsync(" as driftwatch ("), killed).WaitAsync(MosquittoBroker.Patience);
        gateways.Allow(PacksPerRound / 2);
    }

    /// <summary>While the senders are busy.</summary>
    private static async Task RestartAsync(MosquittoBroker broker, Gateways gateways, Random random)
    {
        Task some = gateways.AcknowledgedAsync(random.Next(1, 2 * Gateways.Vessels));
        gateways.Allow(PacksPerRound / 2);
        await some.WaitAsync(MosquittoBroker.Patience);
        await broker.StopAsync();

        // They may have been done before it went: now they are cut off.
        Task cutOff = gateways.CutOffAsync();
        gateways.Allow(1);
        await cutOff.WaitAsync(MosquittoBroker.Patience);
        await broker.StartAgainAsync();
    }

    private static Random Seeded()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        return new Random(seed);
    }
}
