using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A real mosquitto on a free port of 127.0.0.1, to be stopped and started again.</summary>
internal sealed class Broker : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly string _settings;
    private Process? _process;

    /// <param name="more">Further lines of its configuration.</param>
    public Broker(params string[] more)
    {
        Port = FreePort();
        _settings = Path.Combine(_folder.Path, "mosquitto.conf");
        File.WriteAllLines(
            _settings,
            [
                string.Create(CultureInfo.InvariantCulture, $"listener {Port} 127.0.0.1"),
                // Without it a broker started as root changes to a user that may not read the files of this test.
                $"user {Environment.UserName}",
                "log_type all",
                "log_dest stderr",
                .. more.Length > 0 ? more : ["allow_anonymous true"],
            ]);
    }

    public int Port { get; }

    /// <summary>Starts the broker and waits for it to say that it runs.</summary>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        string program = File.Exists("/usr/sbin/mosquitto") ? "/usr/sbin/mosquitto" : "mosquitto";
        Process process = Process.Start(new ProcessStartInfo(program, ["-c", _settings]) { RedirectStandardError = true })!;
        _process = process;
        List<string> log = [];
        while (await process.StandardError.ReadLineAsync(cancellationToken) is { } line)
        {
            log.Add(line);
            if (line.EndsWith("running", StringComparison.Ordinal))
            {
                // What it says from here on is read and dropped, lest a full pipe stop it.
                _ = process.StandardError.BaseStream.CopyToAsync(Stream.Null, CancellationToken.None);
                return;
            }
        }

        throw new InvalidOperationException($"mosquitto did not start: {string.Join(Environment.NewLine, log)}");
    }

    public async Task StopAsync(CancellationToken cancellationToken)
    {
        if (_process is { } process)
        {
            process.Kill();
            await process.WaitForExitAsync(cancellationToken);
            process.Dispose();
            _process = null;
        }
    }

    public void Dispose()
    {
        _process?.Kill();
        _process?.WaitForExit();
        _process?.Dispose();
        _folder.Dispose();
    }

    private static int FreePort()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
