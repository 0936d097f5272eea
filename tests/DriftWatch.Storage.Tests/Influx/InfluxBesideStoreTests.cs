using System.Globalization;
using DriftWatch.Storage.Influx;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Storage.Tests.Influx;

/// <summary>What is read back where an InfluxDB stands beside the store; its answers are made by the test.</summary>
public sealed class InfluxBesideStoreTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    private readonly FakeTimeProvider _clock = new(Given.Instant());

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Gives_what_either_holds_each_reading_once_and_the_first_ones_where_there_are_too_many()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 1, 11), Given.Reading("V-1", 2, 12));
        await using HttpAnswers server = new(_ => (200, "text/csv", Csv((0, 10), (1, 99), (3, 13))));
        using InfluxHistory influx = new(InfluxPlant.Options(server.Url));
        InfluxBesideStore history = new(store, influx, _clock);

        ReadingExcerpt all = await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended);
        Assert.Equal([10, 11, 12, 13], all.Readings.Select(reading => reading.Value));
        Assert.Null(all.Note);
        Assert.Null(history.Fault);
        ReadingExcerpt first = await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 3, Ended);
        Assert.Equal([10, 11, 12], first.Readings.Select(reading => reading.Value));
    }

    [Fact]
    public async Task When_it_does_not_answer_the_store_answers_alone_says_so_and_it_is_asked_again_later()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 1, 11));
        bool away = true;
        await using HttpAnswers server = new(_ => away ? (503, "application/json", """{"code":"unavailable","message":"starting up"}""") : (200, "text/csv", Csv((0, 10))));
        using InfluxHistory influx = new(InfluxPlant.Options(server.Url));
        InfluxBesideStore history = new(store, influx, _clock);

        ReadingExcerpt alone = await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended);
        Assert.Equal([11], alone.Readings.Select(reading => reading.Value));
        Assert.Contains("starting up", alone.Note, StringComparison.Ordinal);
        Assert.Contains("embedded store", alone.Note, StringComparison.Ordinal);
        Assert.Contains("starting up", history.Fault, StringComparison.Ordinal);

        // Not asked at each page, but again after a while.
        away = false;
        int asked = server.Requests.Count;
        Assert.NotNull((await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended)).Note);
        Assert.Equal(asked, server.Requests.Count);
        _clock.Advance(TimeSpan.FromMinutes(1));
        ReadingExcerpt both = await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended);
        Assert.Equal([10, 11], both.Readings.Select(reading => reading.Value));
        Assert.Null(both.Note);
    }

    /// <summary>A machine may start with a clock that is a year ahead.</summary>
    [Fact]
    public async Task It_is_asked_again_in_its_time_though_the_clock_was_set_back()
    {
        using PlantStore store = _folder.Open();
        bool away = true;
        await using HttpAnswers server = new(_ => away ? (503, "application/json", """{"code":"unavailable","message":"starting up"}""") : (200, "text/csv", Csv((0, 10))));
        using InfluxHistory influx = new(InfluxPlant.Options(server.Url));
        WrongClock clock = new() { Off = TimeSpan.FromDays(365) };
        InfluxBesideStore history = new(store, influx, clock);
        Assert.NotNull((await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended)).Note);

        away = false;
        clock.Off = TimeSpan.Zero;
        clock.Advance(TimeSpan.FromMinutes(1));
        Assert.Null((await history.FirstAsync("V-1", Given.Instant(0), Given.Instant(3), 10, Ended)).Note);
    }

    /// <summary>Its time of day is wrong; the time between two moments goes on rightly.</summary>
    private sealed class WrongClock() : FakeTimeProvider(Given.Instant())
    {
        public TimeSpan Off { get; set; }

        public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + Off;

        public override long GetTimestamp() => base.GetUtcNow().Ticks;
    }

    /// <summary>Gas pressures by hour, as annotated CSV.</summary>
    private static string Csv(params (double Hour, double Value)[] pressures) =>
        "#datatype,string,long,dateTime:RFC3339,double,string\r\n#group,false,false,false,false,false\r\n#default,_result,,,,\r\n,result,table,_time,_value,signal\r\n"
        + string.Concat(pressures.Select(at => string.Create(
            CultureInfo.InvariantCulture, $",,0,{Given.Instant(at.Hour).UtcDateTime:O},{at.Value},{nameof(Signal.GasPressure)}\r\n"))) + "\r\n";
}
