using DriftWatch.Acquisition.Door;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Tests;

/// <summary>What the service says of itself; the service is put together, not started.</summary>
public sealed class HealthWatchTests
{
    [Fact]
    public void Points_given_up_are_told_and_counted()
    {
        using TemporaryFolder folder = new();
        var settings = new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            DataFolder = folder.File("data"),
            ChartFolder = folder.File("charts"),
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Queue = new QueueSettings { Folder = folder.File("jobs") },
            History = new HistorySettings { Influx = new InfluxSettings { Url = "http://127.0.0.1:1", Organisation = "works", Bucket = "readings" } },
            Web = null,
        };
        using IHost host = ServiceComposition.Build(settings, SampleReadings.Register(), TimeProvider.System, new ReadingDoorOptions(), new LogThreshold(LogLevel.Warning));
        _ = host.Services.GetRequiredService<PlantStore>();
        GiveUp(folder.File("data", "driftwatch.db"), 5);
        ServiceHealth health = host.Services.GetRequiredService<ServiceHealth>();
        HealthWatch watch = host.Services.GetServices<IHostedService>().OfType<HealthWatch>().Single();
        watch.LookAtStore();
        Assert.Equal(HealthState.Good, health.State);

        GiveUp(folder.File("data", "driftwatch.db"), 7);
        watch.LookAtStore();
        PartHealth part = Assert.Single(health.Parts, one => one.State != HealthState.Good);
        Assert.Equal(ServicePart.Influx, part.Part);
        Assert.StartsWith("7 points were given up since the start", Assert.Single(part.Complaints).What, StringComparison.Ordinal);
        Assert.Contains("driftwatch_influx_given_up_total 12\n", host.Services.GetRequiredService<ServiceMetrics>().Text(), StringComparison.Ordinal);
    }

    /// <summary>Counts points as given up, past the store: it gives up none before a hundred million wait.</summary>
    private static void GiveUp(string file, int points) =>
        PastTheStore.Change(file, "UPDATE mark SET value = value + $value WHERE name = 'spool given up'", points);
}
