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
        using IHost host = Service(folder, register, clock);
        PlantStore store = host.Services.GetRequiredService<PlantStore>();
        store.Commit(readings, []);
        await host.StartAsync(TestContext.Current.CancellationToken);

        // The host has started when its worker may not have read the clock yet: a year on would then be its beginning.
        Assessor assessor = host.Services.GetRequiredService<Assessor>();
        while (assessor.Steps == 0)
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        using CancellationTokenSource over = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        Task sending = SendAsync(store, register.Vessels.First(vessel => vessel.Id != "SH1-A2").Id, heard, over.Token);
        clock.Reach(heard.AddYears(1));
        await PassedToAsync(host, heard.AddYears(1));
        Assert.Equal(heard.AddYears(1), store.LastAssessment("SH1-A2")!.AsOf);

        await over.CancelAsync();
        await sending;
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>A machine may start with a clock that is a year ahead, and have it put right later.</summary>
    [Fact]
    public async Task Silence_is_looked_for_though_the_clock_was_set_back()
    {
        using TemporaryFolder folder = new();
        DateTimeOffset now = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);
        DateTimeOffset ahead = now.AddYears(1);
        var clock = new ReplayClock();
        clock.Reach(ahead);
        using IHost host = Service(folder, SampleReadings.Register(), clock);
        await host.StartAsync(TestContext.Current.CancellationToken);
        Assessor assessor = host.Services.GetRequiredService<Assessor>();
        while (assessor.PassedTo < now.AddYears(1))
        {
            ahead += TimeSpan.FromMinutes(2);
            clock.Reach(ahead);
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        clock.Reach(now);
        await PassedToAsync(host, now);
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    private static IHost Service(TemporaryFolder folder, VesselRegister register, ReplayClock clock)
    {
        var settings = new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            DataFolder = folder.File("data"),
            ChartFolder = folder.File("charts"),
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Queue = new QueueSettings { Folder = folder.File("jobs") },
            Web = null,
        };
        return ServiceComposition.Build(settings, register, clock, new ReadingDoorOptions { AcceptsAnyFuture = true }, new LogThreshold(LogLevel.Warning));
    }

    private static async Task PassedToAsync(IHost host, DateTimeOffset instant)
    {
        Assessor assessor = host.Services.GetRequiredService<Assessor>();
        while (assessor.PassedTo != instant)
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
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
