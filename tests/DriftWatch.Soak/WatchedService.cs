using System.Diagnostics;
using System.Globalization;
using DriftWatch.TestPeers;

namespace DriftWatch.Soak;

/// <summary>The service as a process of its own, with what Linux says of its memory and processor time.</summary>
internal sealed class WatchedService : IDisposable
{
    private const string Objects = "driftwatch_memory_objects_bytes ";
    private readonly HttpClient _client = new();
    private readonly Uri _metrics;
    private readonly Process _process;

    public WatchedService(string settings, int webPort)
    {
        _metrics = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{webPort}/metrics"));
        var start = new ProcessStartInfo("dotnet", ["exec", Path.Combine(AppContext.BaseDirectory, "driftwatch.dll"), "run", "--settings", settings])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            // As the systemd unit and the image have it.
            Environment = { ["MALLOC_ARENA_MAX"] = "2" },
        };
        _process = new Process { StartInfo = start };
        _process.OutputDataReceived += (_, line) => Log.Add(line.Data ?? "");
        _process.ErrorDataReceived += (_, line) => Log.Add(line.Data ?? "");
        _process.Start();
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
    }

    /// <summary>What it logs.</summary>
    public HeardLines Log { get; } = new();

    public bool HasExited => _process.HasExited;

    /// <summary>Memory that is the process's own (RssAnon), bytes: file pages of the store come and go as the machine likes.</summary>
    public long OwnMemoryBytes() => 1024 * long.Parse(
        File.ReadLines($"/proc/{_process.Id}/status").First(line => line.StartsWith("RssAnon:", StringComparison.Ordinal)).Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)[1],
        CultureInfo.InvariantCulture);

    /// <summary>What the service says of the objects that its last full collection left in use, bytes; 0 before the first.</summary>
    public async Task<double> ObjectsInUseBytesAsync()
    {
        string text = await _client.GetStringAsync(_metrics);
        return double.Parse(text.Split('\n').First(line => line.StartsWith(Objects, StringComparison.Ordinal))[Objects.Length..], CultureInfo.InvariantCulture);
    }

    /// <summary>Processor time so far.</summary>
    public TimeSpan ProcessorTime()
    {
        _process.Refresh();
        return _process.TotalProcessorTime;
    }

    /// <summary>Asks it to stop, and gives its exit code.</summary>
    public async Task<int> StopAsync()
    {
        using Process signal = Process.Start("kill", ["-TERM", _process.Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync();
        return _process.ExitCode;
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
        _client.Dispose();
    }
}
