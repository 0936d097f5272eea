using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests;

/// <summary>Reading back for charts, from the embedded store.</summary>
public sealed class ReadingHistoryTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Gives_one_signal_of_a_span_with_its_begin_and_without_its_end()
    {
        using PlantStore store = _folder.Open();
        store.Commit(
            Given.Reading("V-1", 0, 1), Given.Reading("V-1", 1, 2), Given.Reading("V-1", 2, 3),
            Given.Reading("V-1", 1, 290, Signal.GasTemperature), Given.Reading("V-2", 1, 9));
        Assert.Equal([1, 2], Values(await store.ReadAsync("V-1", Signal.GasPressure, Given.Instant(0), Given.Instant(2), null, Ended)));
        Assert.Equal([290], Values(await store.ReadAsync("V-1", Signal.GasTemperature, DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Ended)));
        Assert.Empty(await store.ReadAsync("nobody", Signal.GasPressure, Given.Instant(0), Given.Instant(2), null, Ended));
    }

    [Fact]
    public async Task Gives_the_mean_of_each_interval_that_has_readings_at_its_end()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 0, 1), Given.Reading("V-1", 0.5, 2), Given.Reading("V-1", 3.1, 5));
        DateTimeOffset six = Given.Instant().AddTicks(-1);
        Assert.Equal(
            [new Reading(Signal.GasPressure, six.AddHours(1), 1.5), new Reading(Signal.GasPressure, six.AddHours(3.5), 5)],
            await store.ReadAsync("V-1", Signal.GasPressure, six, six.AddHours(3.5), TimeSpan.FromHours(1), Ended));
    }

    [Fact]
    public async Task An_empty_span_and_a_broken_interval_are_refused()
    {
        using PlantStore store = _folder.Open();
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => store.ReadAsync("V-1", Signal.GasPressure, Given.Instant(1), Given.Instant(1), null, Ended));
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => store.ReadAsync("V-1", Signal.GasPressure, Given.Instant(1), Given.Instant(2), TimeSpan.FromSeconds(1.5), Ended));
    }

    private static IEnumerable<double> Values(IEnumerable<Reading> readings) => readings.Select(reading => reading.Value);
}
