using DriftWatch.Acquisition.Door;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Tests;

/// <summary>One vessel falls silent while another never stops sending.</summary>
public sealed class SilenceTests
{
    [Fact]
    public async Task Silence_is_noticed_though_readings_of_another_vessel_always_wait()
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, "SH1-A2");
        DateTimeOffset heard = readings[^1].Reading.Instant;
        var clock = new ReplayClock();
        clock.Reach(heard);
        var settings = new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            DataFolder = folder.File("data"),
            ChartFolder = folder.File("charts"),
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Queue = new QueueSettings { Folder = folder.File("jobs") },
            Web = null,
        };
        using IHost host = ServiceComposition.Build(settings, register, clock, new ReadingDoorOptions { AcceptsAnyFuture = true }, new LogThreshold(LogLevel.Warning));
        PlantStore store = host.Services.GetRequiredService<PlantStore>();
        store.Commit(readings, []);
        await host.StartAsync(TestContext.Current.CancellationToken);

        using CancellationTokenSource over = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        Task sending = SendAsync(store, register.Vessels.First(vessel => vessel.Id != "SH1-A2").Id, heard, over.Token);
        clock.Reach(heard.AddYears(1));
        Assessor assessor = host.Services.GetRequiredService<Assessor>();
        while (assessor.PassedTo < heard.AddYears(1))
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        Assert.Equal(heard.AddYears(1), store.LastAssessment("SH1-A2")!.AsOf);

        await over.CancelAsync();
        await sending;
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>A reading every few milliseconds: whenever the service looks, one waits.</summary>
    private static async Task SendAsync(PlantStore store, string vessel, DateTimeOffset from, CancellationToken over)
    {
        for (int second = 1; !over.IsCancellationRequested; second++)
        {
            store.Commit([new VesselReading(vessel, new Reading(Signal.GasTemperature, from.AddSeconds(second), 293.15))], []);
            await Task.Delay(2, over).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
