using System.Globalization;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Durability.Tests;

/// <summary>A copy is made while readings come in; it can be read whole, put back, and gone on from.</summary>
public sealed class BackupUnderLoadTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_copy_made_during_ingest_is_whole_and_goes_on_where_it_was_made()
    {
        int port = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""));
        string copy = Path.Combine(Path.GetDirectoryName(folder.Settings)!, "copies", "first.db");
        Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
        await using Gateways gateways = new(port, subscribed: false);
        string[] inCopy;
        using (ServiceProcess service = ServiceProcess.Start(folder.Settings))
        {
            Task some = gateways.AcknowledgedAsync(20 * Gateways.Vessels);
            Task all = gateways.AcknowledgedAsync(400 * Gateways.Vessels);
            gateways.Allow(400);
            await some.WaitAsync(MosquittoBroker.Patience, Ended);
            long before = gateways.AcknowledgedReadings;
            string made = await ServiceProcess.RunAsync("store", "backup", copy, "--settings", folder.Settings);
            Assert.Contains("All of it can be read.", made, StringComparison.Ordinal);
            inCopy = Held(copy);
            Assert.True(inCopy.Length >= before, $"{before} readings had been acknowledged when the copy was begun; it holds {inCopy.Length}");

            // Nobody's store is exchanged under its hands.
            (int refused, string why) = await ServiceProcess.TryAsync("store", "restore", copy, "--settings", folder.Settings);
            Assert.Equal(3, refused);
            Assert.Contains("is in use: stop the service", why, StringComparison.Ordinal);
            Assert.Contains("All of it can be read.", await ServiceProcess.RunAsync("store", "verify", "--settings", folder.Settings), StringComparison.Ordinal);

            // What is held but not acknowledged yet would be sent again, into the copy that is put back.
            await all.WaitAsync(MosquittoBroker.Patience, Ended);
            await service.TerminateAsync();
        }

        string restored = await ServiceProcess.RunAsync("store", "restore", copy, "--settings", folder.Settings);
        Assert.Equal(inCopy, Held(folder.Database));
        string aside = Assert.Single(Directory.GetFiles(Path.GetDirectoryName(folder.Database)!, "*.before-*"));
        Assert.Contains(aside, restored, StringComparison.Ordinal);
        Assert.Equal(gateways.AcknowledgedReadings, Held(aside).Length);

        using ServiceProcess again = ServiceProcess.Start(folder.Settings);
        gateways.Allow(50);
        await gateways.AllAcknowledgedAsync();
        await folder.NothingWaitsAsync(again);
        await again.TerminateAsync();
        Assert.Equal(inCopy.Length + (50 * 4 * Gateways.Vessels), Held(folder.Database).Length);
        Assert.Contains("All of it can be read.", await ServiceProcess.RunAsync("store", "verify", "--settings", folder.Settings), StringComparison.Ordinal);
    }

    private static string[] Held(string path)
    {
        using PlantStore store = new(new StoreOptions { Path = path });
        return
        [
            .. Enumerable.Range(0, Gateways.Vessels).SelectMany(vessel => store.ReadingsAfter(Gateways.Id(vessel), DateTimeOffset.MinValue)
                .Select((Reading reading) => string.Create(CultureInfo.InvariantCulture, $"{vessel} {reading.Instant:O} {reading.Signal} {reading.Value:R}"))),
        ];
    }
}
