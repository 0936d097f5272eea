using System.Diagnostics;
using System.Globalization;

namespace DriftWatch.TestPeers;

/// <summary>
/// A real rabbitmq-server that speaks AMQP 0-9-1 and 1.0 on one free port of 127.0.0.1, with its own node name, folder
/// and port mapper, user <c>guest</c>, password <c>guest</c>.
/// </summary>
public sealed class RabbitBroker : IAsyncDisposable
{
    private const string Program = "/usr/lib/rabbitmq/bin/rabbitmq-server";

    private readonly string _folder;
    private readonly int _mapperPort = FreePort.Find();
    private readonly int _nodePort = FreePort.Find();
    private readonly string _node = $"driftwatch{Guid.NewGuid():N}@localhost";
    private PeerProcess? _mapper;
    private PeerProcess? _server;

    private RabbitBroker(string folder)
    {
        _folder = folder;
        Port = FreePort.Find();
    }

    public int Port { get; }

    /// <summary>Starts a broker.</summary>
    /// <param name="certificates">Given, the port speaks TLS only.</param>
    public static async Task<RabbitBroker> StartAsync(TestCertificates? certificates = null)
    {
        RabbitBroker broker = new(Directory.CreateTempSubdirectory("driftwatch-rabbit-").FullName);
        string listener = certificates is null
            ? $"listeners.tcp.1 = 127.0.0.1:{broker.Port}\n"
            : $"listeners.tcp = none\nlisteners.ssl.1 = 127.0.0.1:{broker.Port}\nssl_options.cacertfile = {certificates.AuthorityFile}\nssl_options.certfile = {certificates.CertificateFile}\nssl_options.keyfile = {certificates.KeyFile}\n";
        await File.WriteAllTextAsync(Path.Combine(broker._folder, "rabbitmq.conf"), listener + "log.console = true\nlog.file = false\n");
        await File.WriteAllTextAsync(Path.Combine(broker._folder, "plugins"), "[rabbitmq_amqp1_0].\n");
        ProcessStartInfo mapper = new("epmd", ["-d", "-d", "-port", broker._mapperPort.ToString(CultureInfo.InvariantCulture), "-address", "127.0.0.1"]);
        broker._mapper = PeerProcess.Start(mapper);

        // A broker that finds no mapper starts one of its own, which nobody would end.
        _ = await broker._mapper.SaysAsync(line => line.Contains("main select() loop", StringComparison.Ordinal));
        await broker.StartAgainAsync();
        return broker;
    }

    public async Task StartAgainAsync()
    {
        ProcessStartInfo start = new(Program);
        start.Environment["HOME"] = _folder;
        start.Environment["ERL_EPMD_PORT"] = _mapperPort.ToString(CultureInfo.InvariantCulture);
        start.Environment["ERL_EPMD_ADDRESS"] = "127.0.0.1";
        start.Environment["RABBITMQ_NODENAME"] = _node;
        start.Environment["RABBITMQ_DIST_PORT"] = _nodePort.ToString(CultureInfo.InvariantCulture);
        start.Environment["RABBITMQ_MNESIA_BASE"] = Path.Combine(_folder, "data");
        start.Environment["RABBITMQ_LOG_BASE"] = Path.Combine(_folder, "log");
        start.Environment["RABBITMQ_ENABLED_PLUGINS_FILE"] = Path.Combine(_folder, "plugins");
        start.Environment["RABBITMQ_CONFIG_FILE"] = Path.Combine(_folder, "rabbitmq");
        start.Environment["RABBITMQ_SERVER_ADDITIONAL_ERL_ARGS"] = "-kernel inet_dist_use_interface {127,0,0,1} +S 1:1";
        _server = PeerProcess.Start(start);
        _ = await _server.SaysAsync(line => line.Contains("Server startup complete", StringComparison.Ordinal));
    }

    /// <summary>The broker goes away at once; what it has confirmed it keeps.</summary>
    public async Task StopAsync()
    {
        if (_server is { } server)
        {
            _server = null;
            await server.DisposeAsync();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        if (_mapper is { } mapper)
        {
            await mapper.DisposeAsync();
        }

        Directory.Delete(_folder, recursive: true);
    }
}
