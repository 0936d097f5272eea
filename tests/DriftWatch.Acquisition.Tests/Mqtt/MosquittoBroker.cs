using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>A real mosquitto on a free port of 127.0.0.1, in a folder of its own, that remembers its sessions over a restart.</summary>
internal sealed class MosquittoBroker : IAsyncDisposable
{
    private readonly string _folder;
    private readonly SemaphoreSlim _left = new(0);
    private Process? _process;

    private MosquittoBroker(string folder, int port)
    {
        _folder = folder;
        Port = port;
    }

    public int Port { get; }

    /// <summary>Starts a broker.</summary>
    /// <param name="listenerLines">Lines of its configuration that concern the listener; anonymous clients where none are given.</param>
    public static async Task<MosquittoBroker> StartAsync(string listenerLines = "allow_anonymous true")
    {
        string folder = Directory.CreateTempSubdirectory("driftwatch-mosquitto-").FullName;
        MosquittoBroker broker = new(folder, FreePort());
        string user = Environment.UserName == "root" ? "user root\n" : "";
        await File.WriteAllTextAsync(
            Path.Combine(folder, "mosquitto.conf"),
            $"{user}listener {broker.Port} 127.0.0.1\npersistence true\npersistence_location {folder}/\nmax_queued_messages 0\n{listenerLines}\n");
        await broker.StartAgainAsync();
        return broker;
    }

    public async Task StartAgainAsync()
    {
        string program = File.Exists("/usr/sbin/mosquitto") ? "/usr/sbin/mosquitto" : "mosquitto";
        ProcessStartInfo start = new(program, ["-v", "-c", Path.Combine(_folder, "mosquitto.conf")]) { RedirectStandardError = true, RedirectStandardOutput = true };
        Process process = Process.Start(start) ?? throw new InvalidOperationException("mosquitto did not start; tests/run installs it.");
        _process = process;
        TaskCompletionSource running = new(TaskCreationOptions.RunContinuationsAsynchronously);
        List<string> log = [];
        process.ErrorDataReceived += (_, line) => Look(line.Data);
        process.OutputDataReceived += (_, line) => Look(line.Data);
        process.BeginErrorReadLine();
        process.BeginOutputReadLine();
        await running.Task.WaitAsync(Patience);

        void Look(string? line)
        {
            if (line is null)
            {
                running.TrySetException(new InvalidOperationException("mosquitto ended: " + string.Join("\n", log)));
            }
            else if (line.Contains(" running", StringComparison.Ordinal))
            {
                running.TrySetResult();
            }
            else if (line.Contains($"Client {RunningSubscriber.ClientId} disconnected", StringComparison.Ordinal))
            {
                _left.Release();
            }
            else if (!running.Task.IsCompleted)
            {
                log.Add(line);
            }
        }
    }

    /// <summary>
    /// Ends when the broker has seen the subscriber leave, once for each time it did. Its acknowledgements are all read by then;
    /// a client of the same id that comes earlier makes the broker drop what it has not read of the old connection.
    /// </summary>
    public async Task SubscriberLeftAsync() => Assert.True(await _left.WaitAsync(Patience));

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
        _left.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private static int FreePort()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
