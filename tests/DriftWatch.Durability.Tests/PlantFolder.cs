using System.Diagnostics;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Durability.Tests;

/// <summary>A folder with the register, the settings and the data of a small plant; gone with the test.</summary>
internal sealed class PlantFolder : IDisposable
{
    private readonly string _path = Directory.CreateTempSubdirectory("driftwatch-durability-").FullName;
    private readonly string _data;

    private PlantFolder(string? data) => _data = data ?? Path.Combine(_path, "data");

    public string Settings => Path.Combine(_path, "driftwatch.json");

    public string Database => Path.Combine(_data, "driftwatch.db");

    /// <param name="broker">The part of the settings that says where readings come from.</param>
    /// <param name="data">Folder of the store; one of its own when null.</param>
    /// <param name="history">The part of the settings that says what becomes of the history.</param>
    /// <param name="webPort">Port of the pages; null for no pages.</param>
    /// <param name="more">Further settings, each with a comma before it.</param>
    /// <param name="register">The register; that of the gateways when null.</param>
    public static async Task<PlantFolder> CreateAsync(string broker, string? data = null, string history = "{}", int? webPort = null, string more = "", string? register = null)
    {
        PlantFolder folder = new(data);
        await File.WriteAllTextAsync(Path.Combine(folder._path, "register.json"), register ?? Gateways.Register);
        await File.WriteAllTextAsync(
            folder.Settings, $$"""{ "register": "register.json", "dataFolder": "{{folder._data}}", "broker": {{broker}}, "history": {{history}}, "web": {{(webPort is { } port ? $$"""{ "port": {{port}} }""" : "null")}}{{more}} }""");
        return folder;
    }

    /// <summary>Ends when the store holds that many readings.</summary>
    public async Task HoldsAsync(long readings, ServiceProcess service)
    {
        using PlantStore store = Open();
        long start = Stopwatch.GetTimestamp();
        while (store.ReadingCounts().Sum(count => count.Count) < readings)
        {
            Assert.False(service.HasExited, $"The service ended by itself:\n{service.Log}");
            Assert.True(
                Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience,
                $"{store.ReadingCounts().Sum(count => count.Count)} of {readings} readings held.\n{service.Log}");
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>Ends when the outside history has been told everything.</summary>
    public async Task SpoolIsEmptyAsync(ServiceProcess service)
    {
        using PlantStore store = Open();
        long start = Stopwatch.GetTimestamp();
        while (store.SpooledPoints() > 0)
        {
            Assert.False(service.HasExited, $"The service ended by itself:\n{service.Log}");
            Assert.True(Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience, $"{store.SpooledPoints()} points wait.\n{service.Log}");
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>Ends when every reading that is held has been assessed.</summary>
    public async Task NothingWaitsAsync(ServiceProcess service)
    {
        using PlantStore store = Open();
        long start = Stopwatch.GetTimestamp();
        while (store.Waiting().Count > 0)
        {
            Assert.False(service.HasExited, $"The service ended by itself:\n{service.Log}");
            Assert.True(Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience, $"{store.Waiting().Count} vessels wait.\n{service.Log}");
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }

    public long Held()
    {
        using PlantStore store = Open();
        return store.ReadingCounts().Sum(count => count.Count);
    }

    /// <summary>Each acknowledged reading is held once, to the bit, and nothing else is.</summary>
    public void AssertHoldsWhatWasAcknowledged(Gateways gateways)
    {
        using PlantStore store = Open();
        int lost = 0;
        int doubled = 0;
        for (int vessel = 0; vessel < Gateways.Vessels; vessel++)
        {
            Reading[] held = [.. store.ReadingsAfter(Gateways.Id(vessel), DateTimeOffset.MinValue)];
            doubled += held.Length - held.DistinctBy(reading => (reading.Signal, reading.Instant)).Count();
            lost += gateways.Acknowledged(vessel).Except(held).Count();
            Assert.Equal(gateways.Acknowledged(vessel), held);
        }

        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{gateways.AcknowledgedReadings} readings acknowledged, {store.ReadingCounts().Sum(count => count.Count)} held, {lost} lost, {doubled} doubled; {gateways.SentAgain} packs sent again");
        Assert.Equal(gateways.AcknowledgedReadings, store.ReadingCounts().Sum(count => count.Count));
        Assert.Empty(store.Quarantine());
    }

    public void Dispose() => Directory.Delete(_path, recursive: true);

    public PlantStore Open() => new(new StoreOptions { Path = Database });
}
