using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests;

/// <summary>Reading back for pages and programs, from the embedded store.</summary>
public sealed class ReadingHistoryTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Gives_the_first_readings_of_a_span_with_both_its_ends()
    {
        using PlantStore store = _folder.Open();
        store.Commit(
            Given.Reading("V-1", 0, 1), Given.Reading("V-1", 1, 2), Given.Reading("V-1", 2, 3), Given.Reading("V-1", 3, 4),
            Given.Reading("V-1", 1, 290, Signal.GasTemperature), Given.Reading("V-2", 1, 9));
        Assert.Equal([1, 290, 2, 3], Values(await store.FirstAsync("V-1", Given.Instant(0), Given.Instant(2), 10, Ended)));
        Assert.Equal([1, 290], Values(await store.FirstAsync("V-1", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, 2, Ended)));
        Assert.Empty(Values(await store.FirstAsync("nobody", Given.Instant(0), Given.Instant(2), 10, Ended)));
    }

    [Fact]
    public async Task A_span_that_ends_before_it_begins_is_refused()
    {
        using PlantStore store = _folder.Open();
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => store.FirstAsync("V-1", Given.Instant(1), Given.Instant(0), 1, Ended));
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => store.FirstAsync("V-1", Given.Instant(0), Given.Instant(1), 0, Ended));
    }

    private static IEnumerable<double> Values(ReadingExcerpt excerpt) => excerpt.Readings.Select(reading => reading.Value);
}
