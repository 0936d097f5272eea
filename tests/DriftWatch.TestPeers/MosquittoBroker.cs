using System.Diagnostics;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.TestPeers;

/// <summary>A real mosquitto on a free port of 127.0.0.1, in a folder of its own, that remembers its sessions over a restart.</summary>
public sealed class MosquittoBroker : IAsyncDisposable
{
    private readonly string _folder;
    private readonly Lock _logLock = new();
    private readonly List<string> _log = [];
    private readonly Dictionary<string, int> _heard = new(StringComparer.Ordinal);
    private TaskCompletionSource _spoke = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private Process? _process;
    private bool _quiet;

    private MosquittoBroker(string folder, int port)
    {
        _folder = folder;
        Port = port;
    }

    public int Port { get; }

    /// <summary>What it logs from now on: each packet that comes and goes.</summary>
    public HeardLines Log { get; } = new();

    /// <summary>Starts a broker.</summary>
    /// <param name="listenerLines">Lines of its configuration that concern the listener; anonymous clients where none are given.</param>
    /// <param name="quiet">Whether it logs nothing but its start, as a measurement wants it.</param>
    public static async Task<MosquittoBroker> StartAsync(string listenerLines = "allow_anonymous true", bool quiet = false)
    {
        string folder = Directory.CreateTempSubdirectory("driftwatch-mosquitto-").FullName;
        MosquittoBroker broker = new(folder, FreePort.Find()) { _quiet = quiet };
        string user = Environment.UserName == "root" ? "user root\n" : "";
        await File.WriteAllTextAsync(
            Path.Combine(folder, "mosquitto.conf"),
            $"{user}listener {broker.Port} 127.0.0.1\npersistence true\npersistence_location {folder}/\n{(quiet ? "log_type information\n" : "")}max_queued_messages 0\n{listenerLines}\n");
        await broker.StartAgainAsync();
        return broker;
    }

    public async Task StartAgainAsync()
    {
        string program = File.Exists("/usr/sbin/mosquitto") ? "/usr/sbin/mosquitto" : "mosquitto";
        ProcessStartInfo start = new(program, [.. _quiet ? Array.Empty<string>() : ["-v"], "-c", Path.Combine(_folder, "mosquitto.conf")]) { RedirectStandardError = true, RedirectStandardOutput = true };
        Process process = Process.Start(start) ?? throw new InvalidOperationException("mosquitto did not start; tests/run installs it.");
        _process = process;
        TaskCompletionSource running = new(TaskCreationOptions.RunContinuationsAsynchronously);
        process.ErrorDataReceived += (_, line) => Look(line.Data);
        process.OutputDataReceived += (_, line) => Look(line.Data);
        process.BeginErrorReadLine();
        process.BeginOutputReadLine();
        await running.Task.WaitAsync(Patience);

        void Look(string? line)
        {
            if (line is null)
            {
                running.TrySetException(new InvalidOperationException("mosquitto ended: " + Said()));
                return;
            }

            Log.Add(line);
            lock (_logLock)
            {
                _log.Add(line);
                _spoke.TrySetResult();
                _spoke = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            }

            if (line.Contains(" running", StringComparison.Ordinal))
            {
                running.TrySetResult();
            }
        }
    }

    /// <summary>Ends when the broker has logged a line with this text, once for each time it did.</summary>
    public async Task SaysAsync(string text)
    {
        int times;
        lock (_logLock)
        {
            times = _heard[text] = _heard.GetValueOrDefault(text) + 1;
        }

        while (true)
        {
            Task spoke;
            lock (_logLock)
            {
                if (_log.Count(line => line.Contains(text, StringComparison.Ordinal)) >= times)
                {
                    return;
                }

                spoke = _spoke.Task;
            }

            await spoke.WaitAsync(Patience);
        }
    }

    private string Said()
    {
        lock (_logLock)
        {
            return string.Join("\n", _log);
        }
    }

    /// <summary>Stops the broker as a shutdown does: it saves its sessions.</summary>
    public async Task StopAsync()
    {
        if (_process is { } process)
        {
            _process = null;
            using Process kill = Process.Start("kill", ["-TERM", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
            await process.WaitForExitAsync().WaitAsync(Patience);
            process.Dispose();
        }
    }

    /// <summary>Stops a hung test; nothing is asserted about it.</summary>
    public static TimeSpan Patience => TimeSpan.FromSeconds(60);

    /// <summary>Publishes at QoS 1; on return the broker has taken the messages.</summary>
    public async Task PublishAsync(string topic, params string[] payloads)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", Port).Build());
        foreach (string payload in payloads)
        {
            await client.PublishStringAsync(topic, payload, MqttQualityOfServiceLevel.AtLeastOnce);
        }

        await client.DisconnectAsync();
    }

    public async Task PublishKeptAsync(string topic, string payload)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", Port).Build());
        await client.PublishStringAsync(topic, payload, MqttQualityOfServiceLevel.AtLeastOnce, retain: true);
        await client.DisconnectAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        Directory.Delete(_folder, recursive: true);
    }
}
