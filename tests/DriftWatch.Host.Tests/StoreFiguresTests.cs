using DriftWatch.Host.Health;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Host.Tests;

/// <summary>Figures that are asked of the store only now and then.</summary>
public sealed class StoreFiguresTests
{
    /// <summary>A machine may start with a clock that is a year ahead.</summary>
    [Fact]
    public void The_store_is_asked_again_in_its_time_though_the_clock_was_set_back()
    {
        using TemporaryFolder folder = new();
        DateTimeOffset now = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);
        string file = folder.File("driftwatch.db");
        using var store = new PlantStore(new StoreOptions { Path = file });
        WrongClock clock = new(now) { Off = TimeSpan.FromDays(365) };
        StoreFigures figures = new(store, file, SampleReadings.Register(), clock);
        Assert.Equal(0, figures.Now().Waiting);

        store.Commit([new VesselReading("PR1-A1", new Reading(Signal.GasPressure, now, 1e7))], []);
        clock.Off = TimeSpan.Zero;
        Assert.Equal(0, figures.Now().Waiting);
        clock.Advance(TimeSpan.FromSeconds(6));
        Assert.Equal(1, figures.Now().Waiting);
    }
}
