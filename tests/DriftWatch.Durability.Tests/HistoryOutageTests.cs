using System.Globalization;
using System.Net;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Durability.Tests;

/// <summary>The history in InfluxDB gets everything, though it is away while readings come and the service is killed meanwhile.</summary>
public sealed class HistoryOutageTests
{
    [Fact]
    public async Task What_came_while_it_was_away_arrives_once()
    {
        await using VictoriaMetricsServer history = new();
        int port = FreePort.Find();
        int webPort = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""),
            history: $$"""{ "influx": { "url": "{{history.Url}}", "organisation": "works", "bucket": "drift" } }""", webPort: webPort);
        using ServiceHealthClient health = new(webPort);
        await using Gateways gateways = new(port, subscribed: false);
        using (ServiceProcess service = ServiceProcess.Start(folder.Settings))
        {
            Task away = service.Log.FromNowAsync("InfluxDB takes no points");
            Task sent = gateways.AcknowledgedAsync(30 * Gateways.Vessels);
            gateways.Allow(30);
            await sent.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
            await away.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
            await health.BecomesAsync("influxdb", "degraded", service);
            Assert.Equal(HttpStatusCode.OK, await health.ReadyAsync());
            await service.KillAsync();
        }

        using ServiceProcess again = ServiceProcess.Start(folder.Settings);
        gateways.Allow(30);
        await gateways.AllAcknowledgedAsync();
        await history.StartAsync();
        await folder.SpoolIsEmptyAsync(again);
        await health.BecomesAsync("influxdb", "good", again);
        await again.TerminateAsync();
        folder.AssertHoldsWhatWasAcknowledged(gateways);

        // Gauge pressure and temperature of each instant, and normalised values for each pair of them.
        var held = await history.ExportAsync("reading_value");
        for (int vessel = 0; vessel < Gateways.Vessels; vessel++)
        {
            string id = Gateways.Id(vessel);
            Assert.Equal(
                gateways.Acknowledged(vessel).Select(reading => (reading.Signal.ToString(), reading.Instant, reading.Value)).Order(),
                held.Where(sample => sample.Series.EndsWith("vessel=" + id, StringComparison.Ordinal))
                    .Select(sample => (sample.Series.Split("signal=")[1].Split(',')[0], sample.Instant, sample.Value)).Order());
            Assert.Equal(
                gateways.Acknowledged(vessel).Where(reading => reading.Signal == Signal.GasTemperature).Select(reading => reading.Value).Order(),
                (await history.ExportAsync($$"""gas_side_temperature_k{vessel="{{id}}"}""")).Select(sample => sample.Value).Order());
        }
    }
}
