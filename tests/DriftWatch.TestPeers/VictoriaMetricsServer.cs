using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace DriftWatch.TestPeers;

/// <summary>
/// A real victoria-metrics on a free port of 127.0.0.1, which takes InfluxDB line protocol on the v2 write path. It keeps
/// milliseconds; points of one series within a millisecond count once (<c>-dedup.minScrapeInterval</c>), as points of one
/// series and time do in InfluxDB.
/// </summary>
public sealed class VictoriaMetricsServer : IAsyncDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-victoria-").FullName;
    private readonly HttpClient _http = new();
    private Process? _process;

    /// <summary>Its address, where it listens once started.</summary>
    public string Url { get; } = string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{FreePort.Find()}");

    public async Task StartAsync()
    {
        ProcessStartInfo start = new(
            "victoria-metrics",
            [$"-httpListenAddr={Url["http://".Length..]}", $"-storageDataPath={_folder}/data", "-retentionPeriod=100y", "-dedup.minScrapeInterval=1ms"])
        {
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        };
        Process process = Process.Start(start) ?? throw new InvalidOperationException("victoria-metrics did not start; tests/run installs it.");
        _process = process;
        TaskCompletionSource started = new(TaskCreationOptions.RunContinuationsAsynchronously);
        HeardLines log = new();
        process.OutputDataReceived += (_, line) => log.Add(line.Data ?? "");
        process.ErrorDataReceived += (_, line) =>
        {
            if (line.Data is null)
            {
                started.TrySetException(new InvalidOperationException($"victoria-metrics ended: {log}"));
                return;
            }

            log.Add(line.Data);
            if (line.Data.Contains("started VictoriaMetrics", StringComparison.Ordinal))
            {
                started.TrySetResult();
            }
        };
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        await started.Task.WaitAsync(MosquittoBroker.Patience);
        await ListensAsync();
    }

    /// <summary>It says that it has started before it listens.</summary>
    private async Task ListensAsync()
    {
        for (long start = Stopwatch.GetTimestamp(); ; await Task.Delay(20))
        {
            try
            {
                using HttpResponseMessage answer = await _http.GetAsync(new Uri(Url + "/health"));
                _ = answer.EnsureSuccessStatusCode();
                return;
            }
            catch (HttpRequestException) when (Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience)
            {
                // Not yet.
            }
        }
    }

    public async Task StopAsync()
    {
        if (_process is { } process)
        {
            _process = null;
            using Process kill = Process.Start("kill", ["-TERM", process.Id.ToString(CultureInfo.InvariantCulture)]);
            await process.WaitForExitAsync().WaitAsync(MosquittoBroker.Patience);
            process.Dispose();
        }
    }

    /// <summary>All samples of the series that a selector names: labels (as written, sorted), instant, value; in no order.</summary>
    public async Task<IReadOnlyList<(string Series, DateTimeOffset Instant, double Value)>> ExportAsync(string selector)
    {
        using HttpResponseMessage flushed = await _http.GetAsync(new Uri(Url + "/internal/force_flush"));
        flushed.EnsureSuccessStatusCode();
        string lines = await _http.GetStringAsync(
            new Uri($"{Url}/api/v1/export?reduce_mem_usage=0&max_rows_per_line=100000&match[]={Uri.EscapeDataString(selector)}"));
        List<(string, DateTimeOffset, double)> samples = [];
        foreach (string line in lines.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            using JsonDocument document = JsonDocument.Parse(line);
            string series = string.Join(",", document.RootElement.GetProperty("metric").EnumerateObject()
                .Where(label => label.Name != "db")
                .OrderBy(label => label.Name, StringComparer.Ordinal)
                .Select(label => $"{label.Name}={label.Value}"));
            samples.AddRange(document.RootElement.GetProperty("timestamps").EnumerateArray()
                .Zip(document.RootElement.GetProperty("values").EnumerateArray())
                .Select(sample => (series, DateTimeOffset.FromUnixTimeMilliseconds(sample.First.GetInt64()), sample.Second.GetDouble())));
        }

        return samples;
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        _http.Dispose();
        Directory.Delete(_folder, recursive: true);
    }
}
