using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>Metrics, traces and the structured log of a running service.</summary>
public sealed partial class TelemetryTests
{
    private const string Token = "token-that-nobody-may-read";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Figures_are_Prometheus_text_that_a_real_server_takes()
    {
        await using VictoriaMetricsServer server = new();
        await server.StartAsync();
        int port = FreePort.Find(), webPort = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""), webPort: webPort);
        using ServiceProcess service = ServiceProcess.Start(folder.Settings);
        await using Gateways gateways = new(port, subscribed: false);
        gateways.Allow(20);
        await gateways.AllAcknowledgedAsync();
        await folder.NothingWaitsAsync(service);
        await service.StartedAsync();
        using HttpClient client = new();
        using HttpResponseMessage answer = await client.GetAsync(new Uri(FormattableString.Invariant($"http://127.0.0.1:{webPort}/metrics")), Ended);
        Assert.Equal("text/plain; version=0.0.4; charset=utf-8", answer.Content.Headers.ContentType!.ToString());
        string text = await answer.Content.ReadAsStringAsync(Ended);
        await service.TerminateAsync();

        Dictionary<string, double> samples = Parse(text);
        Assert.Equal(20 * Gateways.Vessels, samples["driftwatch_ingest_messages_total"]);
        Assert.Equal(gateways.AcknowledgedReadings, samples["driftwatch_ingest_readings_total"]);
        Assert.Equal(0, samples["driftwatch_ingest_set_aside_total"]);
        Assert.InRange(samples["driftwatch_ingest_lag_seconds"], 0, 3600);
        Assert.True(samples["driftwatch_assessment_steps_total"] >= Gateways.Vessels);
        Assert.Equal(Gateways.Vessels, samples.Where(sample => sample.Key.StartsWith("driftwatch_vessels{", StringComparison.Ordinal)).Sum(sample => sample.Value));
        Assert.Equal(Gateways.Vessels, samples["driftwatch_vessels_blind"]);
        Assert.Equal(0, samples["driftwatch_outbox_waiting{channel=\"files\"}"]);
        Assert.True(samples["driftwatch_store_size_bytes"] > 4096);
        Assert.InRange(samples["driftwatch_memory_working_set_bytes"], 20e6, 2e9);
        Assert.InRange(samples["driftwatch_memory_objects_bytes"], 0, samples["driftwatch_memory_working_set_bytes"]);
        Assert.Equal(0, samples["driftwatch_health{part=\"store\"}"]);

        using HttpResponseMessage taken = await client.PostAsync(new Uri(server.Url + "/api/v1/import/prometheus"), new StringContent(text), Ended);
        Assert.True(taken.IsSuccessStatusCode);

        // The server makes what it has taken readable a moment later.
        IReadOnlyList<(string Series, DateTimeOffset Instant, double Value)> held = [];
        for (long start = Stopwatch.GetTimestamp(); held.Count < samples.Count; held = await server.ExportAsync("{__name__=~\"driftwatch_.*\"}"))
        {
            Assert.True(Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience, $"{held.Count} of {samples.Count} samples taken");
            await Task.Delay(50, Ended);
        }

        Assert.Equal(samples.Count, held.Count);
        Assert.Equal(gateways.AcknowledgedReadings, Assert.Single(held, sample => sample.Series.Contains("driftwatch_ingest_readings_total", StringComparison.Ordinal)).Value);
    }

    [Fact]
    public async Task A_collector_gets_metrics_and_traces_and_the_log_is_an_object_a_line_without_secrets()
    {
        await using OtlpSink collector = new();
        int port = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""),
            history: $$"""{ "influx": { "url": "http://127.0.0.1:{{FreePort.Find()}}", "organisation": "works", "bucket": "drift", "tokenFile": "token" } }""",
            more: $$""", "log": { "format": "json" }, "telemetry": { "otlpEndpoint": "{{collector.Url}}" }""");
        await File.WriteAllTextAsync(Path.Combine(Path.GetDirectoryName(folder.Settings)!, "token"), Token, Ended);
        using ServiceProcess service = ServiceProcess.Start(folder.Settings);
        Task away = service.Log.FromNowAsync("InfluxDB takes no points");
        await using Gateways gateways = new(port, subscribed: false);
        gateways.Allow(5);
        await gateways.AllAcknowledgedAsync();
        await folder.NothingWaitsAsync(service);
        await away.WaitAsync(MosquittoBroker.Patience, Ended);

        // What is left goes out when the service stops.
        await service.TerminateAsync();
        Assert.Contains("driftwatch.ingest.readings", collector.Got("/v1/metrics"), StringComparison.Ordinal);
        string traces = collector.Got("/v1/traces");
        Assert.All((string[])["DriftWatch.Acquisition", "commit", "DriftWatch.Assessment", "assess"], name => Assert.Contains(name, traces, StringComparison.Ordinal));

        string[] lines = [.. service.Log.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries)];
        Assert.NotEmpty(lines);
        foreach (string line in lines)
        {
            using JsonDocument entry = JsonDocument.Parse(line);
            Assert.Matches(@"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$", entry.RootElement.GetProperty("Timestamp").GetString());
            Assert.True(entry.RootElement.TryGetProperty("EventId", out _) && entry.RootElement.TryGetProperty("Category", out _));
        }

        Assert.DoesNotContain(Token, service.Log.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain(Token, traces + collector.Got("/v1/metrics"), StringComparison.Ordinal);
    }

    /// <summary>Samples by name and labels, after the grammar of the exposition format 0.0.4; anything else fails.</summary>
    private static Dictionary<string, double> Parse(string text)
    {
        Dictionary<string, double> samples = new(StringComparer.Ordinal);
        string? family = null;
        foreach (string line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            if (Comment().Match(line) is { Success: true } comment)
            {
                family = comment.Groups["name"].Value;
                continue;
            }

            Match sample = Sample().Match(line);
            Assert.True(sample.Success, $"'{line}' is no sample");
            Assert.Equal(family, sample.Groups["name"].Value);
            samples.Add(sample.Groups["series"].Value, double.Parse(sample.Groups["value"].Value, CultureInfo.InvariantCulture));
        }

        Assert.EndsWith("\n", text, StringComparison.Ordinal);
        return samples;
    }

    [GeneratedRegex(@"^# (HELP (?<name>[a-z_]+) .+|TYPE (?<name>[a-z_]+) (counter|gauge))$")]
    private static partial Regex Comment();

    [GeneratedRegex("""^(?<series>(?<name>[a-z_]+)(\{[a-z_]+="([^"\\]|\\.)*"(,[a-z_]+="([^"\\]|\\.)*")*\})?) (?<value>[-+0-9.eE]+|NaN)$""")]
    private static partial Regex Sample();
}
