using System.Diagnostics;
using System.Text.Json;

namespace DriftWatch.TestPeers;

/// <summary>A published library for Sparkplug B payloads, in a node process of its own.</summary>
public sealed class SparkplugLibrary : IAsyncDisposable
{
    private readonly Process _process;

    private SparkplugLibrary(Process process) => _process = process;

    /// <summary>Starts node with the library.</summary>
    public static SparkplugLibrary Start()
    {
        string folder = Path.Combine(RepositoryRoot(), "tests", "DriftWatch.TestPeers", "sparkplug");
        if (!Directory.Exists(Path.Combine(folder, "node_modules")))
        {
            throw new InvalidOperationException($"The payload library is missing; tests/run installs it ('npm ci --ignore-scripts' in {folder}).");
        }

        ProcessStartInfo start = new("node", [Path.Combine(folder, "peer.js")]) { RedirectStandardInput = true, RedirectStandardOutput = true };
        return new SparkplugLibrary(Process.Start(start) ?? throw new InvalidOperationException("node did not start; tests/run installs it."));
    }

    /// <summary>The bytes of a payload given in the library's own terms.</summary>
    public async Task<byte[]> EncodeAsync(string payload) => Convert.FromHexString(JsonSerializer.Deserialize<string>(await AskAsync(payload))!);

    /// <summary>A payload in the library's own terms, JSON.</summary>
    public Task<string> DecodeAsync(byte[] payload) => AskAsync($$"""{ "decode": "{{Convert.ToHexString(payload)}}" }""");

    public async ValueTask DisposeAsync()
    {
        _process.StandardInput.Close();
        await _process.WaitForExitAsync().WaitAsync(MosquittoBroker.Patience);
        _process.Dispose();
    }

    private async Task<string> AskAsync(string line)
    {
        await _process.StandardInput.WriteLineAsync(line.ReplaceLineEndings(" "));
        await _process.StandardInput.FlushAsync();
        return await _process.StandardOutput.ReadLineAsync().WaitAsync(MosquittoBroker.Patience)
            ?? throw new InvalidOperationException("The payload library ended; its complaint stands above.");
    }

    internal static string RepositoryRoot()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "DriftWatch.sln")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException("The tests run outside the repository.");
    }
}
