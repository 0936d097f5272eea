using System.Globalization;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Influx;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Storage.Tests.Influx;

/// <summary>Writing, to a real server that takes the v2 write path.</summary>
public sealed class InfluxWriterTests : IDisposable
{
    /// <summary>On the millisecond, as the server keeps no more.</summary>
    private static readonly DateTimeOffset Begin = new(2025, 3, 1, 6, 0, 0, 5, TimeSpan.Zero);

    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private PlantStore Open() => new(new StoreOptions { Path = _folder.File, Spool = true });

    [Fact]
    public async Task Readings_normalised_values_and_windows_arrive()
    {
        await using VictoriaMetricsServer server = new();
        await server.StartAsync();
        using PlantStore store = Open();
        Reading temperature = new(Signal.GasTemperature, Begin, 293.15);
        Reading pressure = new(Signal.GasPressure, Begin.AddSeconds(1), 1e7);
        store.Commit(new VesselReading("V-1", temperature), new VesselReading("V-1", pressure), new VesselReading("not, in=the register", pressure));
        PrechargeWindow window = Given.Window(0) with { Start = Begin, SharedUncertaintyPa = 2, Standing = WindowStanding.Accepted };
        store.Save(Given.Step("V-1", 0) with { Windows = [window] });
        Assert.Equal(0, (await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store)).Refused);

        Assert.Equal(
            [
                ("__name__=reading_value,signal=GasPressure,vessel=V-1", pressure.Instant, 1e7),
                ("__name__=reading_value,signal=GasPressure,vessel=not, in=the register", pressure.Instant, 1e7),
                ("__name__=reading_value,signal=GasTemperature,vessel=V-1", temperature.Instant, 293.15),
            ],
            (await server.ExportAsync("""{__name__="reading_value"}""")).OrderBy(sample => sample.Series, StringComparer.Ordinal));

        // At the reference temperature itself the pressure at reference is the absolute pressure: gauge + 101 325 Pa.
        (string _, DateTimeOffset instant, double atReference) = Assert.Single(await server.ExportAsync("gas_side_pressure_at_reference_pa"));
        Assert.Equal(pressure.Instant, instant);
        Assert.Equal(1e7 + 101_325, atReference, 1e7 * 10e-6);
        Assert.Equal(window.PrechargePa, Assert.Single(await server.ExportAsync("""precharge_window_precharge_pa{vessel="V-1"}""")).Value, 1e-6);
        Assert.Equal(1, Assert.Single(await server.ExportAsync("precharge_window_accepted")).Value);
    }

    [Fact]
    public async Task A_window_that_late_readings_take_back_is_marked()
    {
        await using VictoriaMetricsServer server = new();
        await server.StartAsync();
        using PlantStore store = Open();
        store.Save(Given.Step("V-1", 0) with { Windows = [Given.Window(1) with { SharedUncertaintyPa = 1, Standing = WindowStanding.Accepted }] });
        store.Save(Given.Step("V-1", 0) with { Rewind = new Rewind(DateTimeOffset.MinValue, DateTimeOffset.MinValue) });
        await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store);
        Assert.Equal(1, Assert.Single(await server.ExportAsync("precharge_window_withdrawn")).Value);
    }

    [Fact]
    public async Task A_temperature_that_comes_late_gives_the_pressures_after_it_their_normalised_value()
    {
        await using VictoriaMetricsServer server = new();
        await server.StartAsync();
        using PlantStore store = Open();
        store.Commit(new VesselReading("V-1", new Reading(Signal.GasPressure, Begin.AddMinutes(10), 1e7)));
        await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store);
        Assert.Empty(await server.ExportAsync("gas_side_temperature_k"));
        store.Commit(new VesselReading("V-1", new Reading(Signal.GasTemperature, Begin, 300)));
        await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store);
        Assert.Equal((Begin.AddMinutes(10), 300), (await server.ExportAsync("gas_side_temperature_k")).Select(sample => (sample.Instant, sample.Value)).Single());
    }

    /// <summary>An hour of 1,000 vessels that report once a minute is 60,000 readings of each signal.</summary>
    [Fact]
    public async Task An_outage_of_an_hour_and_a_restart_in_it_lose_nothing_and_double_nothing()
    {
        const int Vessels = 1_000;
        const int Minutes = 60;
        await using VictoriaMetricsServer server = new();
        InfluxOptions options = InfluxPlant.Options(server.Url);
        using (PlantStore store = Open())
        {
            InfluxWriter writer = new(options, store, InfluxPlant.Register, TimeProvider.System, NullLogger<InfluxWriter>.Instance);
            using CancellationTokenSource stop = new();
            Task run = writer.RunAsync(stop.Token);
            for (int minute = 0; minute < Minutes; minute++)
            {
                // Each commit twice: what is already held does not enter the spool again.
                VesselReading[] commit = [.. Enumerable.Range(0, Vessels).Select(vessel => Of(vessel, minute))];
                store.Commit(commit);
                store.Commit(commit);
            }

            while (writer.Status.Fault is null)
            {
                await Task.Delay(10, TestContext.Current.CancellationToken);
            }

            await stop.CancelAsync();
            await run;
            Assert.Equal(Vessels * Minutes, store.SpooledPoints());
            double bytes = new FileInfo(_folder.File).Length;
            TestContext.Current.TestOutputHelper?.WriteLine($"store with spool: {bytes / (Vessels * Minutes):F1} bytes a reading");
        }

        using (PlantStore store = Open())
        {
            await server.StartAsync();
            await InfluxPlant.EmptySpoolAsync(options, store);

            // The server away once more, in the middle of the work; the points of the batch under way go twice.
            await server.StopAsync();
            store.Commit([.. Enumerable.Range(0, Vessels).Select(vessel => Of(vessel, Minutes))], []);
            Task emptied = InfluxPlant.EmptySpoolAsync(options, store);
            await server.StartAsync();
            await emptied;
        }

        var held = await server.ExportAsync("reading_value");
        Assert.Equal(Vessels * (Minutes + 1), held.Count);
        Assert.Equal(
            Enumerable.Range(0, Vessels).SelectMany(vessel => Enumerable.Range(0, Minutes + 1).Select(minute => Of(vessel, minute)))
                .Select(reading => ($"__name__=reading_value,signal=GasPressure,vessel={reading.VesselId}", reading.Reading.Instant, reading.Reading.Value))
                .OrderBy(sample => sample),
            held.OrderBy(sample => sample));
    }

    [Fact]
    public async Task A_point_refused_for_good_holds_back_no_other()
    {
        // A real server cannot be made to refuse one of our points; this one refuses those of one vessel.
        List<string> taken = [];
        await using HttpAnswers server = new(request =>
        {
            if (request.Body.Contains("vessel=V-13 ", StringComparison.Ordinal))
            {
                return (400, "application/json", """{"code":"invalid","message":"field type conflict"}""");
            }

            taken.AddRange(request.Body.Split('\n', StringSplitOptions.RemoveEmptyEntries));
            return (204, "text/plain", "");
        });
        using PlantStore store = Open();
        store.Commit([.. Enumerable.Range(0, 50).Select(vessel => Of(vessel, 0))], []);
        InfluxStatus status = await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store);
        Assert.Equal((49, 1), (status.Written, status.Refused));
        Assert.Equal(49, taken.Distinct().Count());
        Assert.All(server.Requests, request => Assert.Equal("/api/v2/write?org=works&bucket=drift&precision=ns", request.PathAndQuery));
        Assert.All(server.Requests, request => Assert.Equal("Token secret", request.Authorization));

        // 2025-03-01T06:00:00.005Z is 1740808800.005 s after 1970 (date -d ... +%s).
        Assert.Contains("reading,signal=GasPressure,vessel=V-7 value=10000007 1740808800005000000", taken);
    }

    [Fact]
    public async Task A_server_that_is_overloaded_is_asked_again()
    {
        int asked = 0;
        await using HttpAnswers server = new(_ => ++asked < 4 ? (asked == 1 ? 429 : 503, "text/plain", "later") : (204, "text/plain", ""));
        using PlantStore store = Open();
        store.Commit(Of(1, 0));
        InfluxStatus status = await InfluxPlant.EmptySpoolAsync(InfluxPlant.Options(server.Url), store);
        Assert.Equal((1, 0, 4), (status.Written, status.Refused, asked));
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once()
    {
        InfluxOptions bad = new()
        {
            Url = "server:8086",
            Organisation = " ",
            Bucket = "",
            MostPoints = 0,
            Timeout = TimeSpan.Zero,
            Pause = TimeSpan.FromHours(1),
            ShortestRetry = TimeSpan.FromSeconds(9),
            LongestRetry = TimeSpan.FromSeconds(1),
        };
        Assert.Equal(7, bad.Faults().Count);
        Assert.Empty(InfluxPlant.Options("http://127.0.0.1:1").Faults());
    }

    private static VesselReading Of(int vessel, int minute) =>
        new(string.Create(CultureInfo.InvariantCulture, $"V-{vessel}"), new Reading(Signal.GasPressure, Begin.AddMinutes(minute), 1e7 + vessel + (100_000 * minute)));
}
