using System.Globalization;
using System.Net;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>A store without room: nothing more is acknowledged, the log says so, and it goes on by itself when there is room.</summary>
public sealed class StoreFullTests
{
    private const int SmallKibibytes = 3072;
    private const int AmpleKibibytes = 256 * 1024;

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_full_file_system_stops_acknowledgement_and_room_resumes_it()
    {
        using SmallFileSystem? small = SmallFileSystem.TryMount(SmallKibibytes);
        if (small is null)
        {
            TestContext.Current.TestOutputHelper?.WriteLine("Mounting is refused here: a limit on the size of files stands in for the small file system.");
            await FillAsync(null, settings => ServiceProcess.StartWithFileLimit(settings, SmallKibibytes), service => service.LiftFileLimitAsync());
            return;
        }

        await FillAsync(small.Path, ServiceProcess.Start, _ =>
        {
            small.Grow(AmpleKibibytes);
            return Task.CompletedTask;
        });
    }

    [Fact]
    public Task A_limit_on_the_size_of_files_stops_acknowledgement_and_lifting_it_resumes_it() =>
        FillAsync(null, settings => ServiceProcess.StartWithFileLimit(settings, SmallKibibytes), service => service.LiftFileLimitAsync());

    private static async Task FillAsync(string? data, Func<string, ServiceProcess> start, Func<ServiceProcess, Task> makeRoom)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        int port = FreePort.Find();
        using ServiceHealthClient health = new(port);
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "host": "127.0.0.1", "port": {{broker.Port}} }"""), data, webPort: port);
        Task subscribed = broker.Log.FromNowAsync("Sending SUBACK to driftwatch");
        using ServiceProcess service = start(folder.Settings);
        Task full = service.Log.FromNowAsync("could not be committed and stay unacknowledged");
        Task resumed = service.Log.FromNowAsync("Messages are committed again");
        await subscribed.WaitAsync(MosquittoBroker.Patience, Ended);

        await using Gateways gateways = new(broker.Port, subscribed: true);
        while (!full.IsCompleted)
        {
            Assert.False(service.HasExited, service.Log.ToString());
            Task some = gateways.AcknowledgedAsync(Gateways.Vessels * 50);
            gateways.Allow(50);
            await some.WaitAsync(MosquittoBroker.Patience, Ended);
        }

        // The senders' messages now wait at the broker, and each attempt says again what is wrong.
        Task again = service.Log.FromNowAsync("could not be committed and stay unacknowledged", 2);
        gateways.Allow(50);
        await again.WaitAsync(MosquittoBroker.Patience, Ended);
        await gateways.AllAcknowledgedAsync();

        // Counted before what is held is: the broker may tell late of an acknowledgement that came while there was room.
        int acknowledged = broker.Log.Count("Received PUBACK from driftwatch");
        long held = folder.Held();
        Assert.True(acknowledged * Gateways.ReadingsPerPack <= held, $"{acknowledged} messages were acknowledged, and {held} readings are held");
        Assert.False(resumed.IsCompleted);
        Assert.True(held < gateways.AcknowledgedReadings, "the store is not full");

        await health.BecomesAsync("store", "failed", service);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, await health.ReadyAsync());
        Assert.Equal(HttpStatusCode.OK, await health.LiveAsync());

        await makeRoom(service);
        await resumed.WaitAsync(MosquittoBroker.Patience, Ended);
        await health.BecomesAsync("store", "good", service);
        await health.BecomesAsync("acquisition", "good", service);

        // Which looks at the store again within seconds.
        await health.BecomesAsync("assessment", "good", service);
        Assert.Equal(HttpStatusCode.OK, await health.ReadyAsync());
        await folder.HoldsAsync(gateways.AcknowledgedReadings, service);
        await service.TerminateAsync();
        folder.AssertHoldsWhatWasAcknowledged(gateways);
    }
}
