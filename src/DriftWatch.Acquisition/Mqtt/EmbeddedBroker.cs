using System.Buffers;
using System.Net;
using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using Microsoft.Extensions.Logging;
using MQTTnet.Server;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>
/// An MQTT broker (5 and 3.1.1) inside the service, for plants and trials without one of their own. It listens on the
/// loopback address only. A sender's QoS 1 message is acknowledged after its readings are committed, so what was
/// acknowledged survives the end of the process although this broker keeps nothing itself.
/// </summary>
public sealed class EmbeddedBroker : IAsyncDisposable
{
    private const int MostWaiting = 2000;

    private static readonly CommitPace Pace = new(1000, TimeSpan.FromSeconds(0.5), TimeSpan.FromSeconds(30));

    private readonly TimeProvider _clock;
    private readonly Channel<IncomingMessage> _arrived = Channel.CreateBounded<IncomingMessage>(
        new BoundedChannelOptions(MostWaiting) { SingleReader = true });
    private readonly CommitLoop _commits;
    private readonly MqttServer _server;
    private readonly CancellationTokenSource _stop = new();
    private readonly HashSet<string> _topics;
    private Task _committing = Task.CompletedTask;

    /// <summary>Sets the broker up; nothing listens before <see cref="StartAsync"/>.</summary>
    /// <param name="port">Port on 127.0.0.1, 1 to 65535.</param>
    /// <param name="decoder">Turns payloads into readings.</param>
    /// <param name="sink">Where readings become durable.</param>
    /// <param name="clock">Clock of arrivals and waits.</param>
    /// <param name="logger">Where failures are told.</param>
    /// <exception cref="ArgumentOutOfRangeException">The port is out of range.</exception>
    public EmbeddedBroker(int port, ReadingDecoder decoder, IReadingSink sink, TimeProvider clock, ILogger<EmbeddedBroker> logger)
    {
        if (port is < 1 or > 65535)
        {
            throw new ArgumentOutOfRangeException(nameof(port), port, "The embedded broker's port must be 1 to 65535.");
        }

        Port = port;
        _clock = clock;
        _topics = new HashSet<string>(decoder.Topics, StringComparer.Ordinal);
        _commits = new CommitLoop(decoder, sink, Pace, clock, logger, tally => Tally = tally);
        MqttServerOptions options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint()
            .WithDefaultEndpointBoundIPAddress(IPAddress.Loopback)
            .WithDefaultEndpointBoundIPV6Address(IPAddress.None)
            .WithDefaultEndpointPort(port)
            .Build();
        _server = new MqttServerFactory().CreateMqttServer(options);
        _server.InterceptingPublishAsync += CommitBeforeAcknowledgingAsync;
    }

    /// <summary>Port on 127.0.0.1.</summary>
    public int Port { get; }

    /// <summary>What has been committed so far.</summary>
    public CommitTally Tally { get; private set; } = CommitTally.None;

    /// <summary>Starts to listen.</summary>
    /// <exception cref="InvalidOperationException">The port is taken.</exception>
    public async Task StartAsync()
    {
        try
        {
            await _server.StartAsync();
        }
        catch (System.Net.Sockets.SocketException exception)
        {
            throw new InvalidOperationException(
                $"The embedded broker cannot listen on 127.0.0.1:{Port}: {exception.Message}. Choose another port, or name an outside broker.",
                exception);
        }

        _committing = _commits.RunAsync(_arrived.Reader, _stop.Token);
    }

    /// <summary>Stops listening and committing; what is not acknowledged by then is sent again by its sender.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_stop.IsCancellationRequested)
        {
            return;
        }

        await _stop.CancelAsync();
        await _committing;
        if (_server.IsStarted)
        {
            await _server.StopAsync();
        }

        _server.Dispose();
    }

    /// <summary>The server acknowledges a message to its sender when this returns.</summary>
    private async Task CommitBeforeAcknowledgingAsync(InterceptingPublishEventArgs args)
    {
        if (!_topics.Contains(args.ApplicationMessage.Topic))
        {
            // Others may use the broker too, jobs among them; what is not in the register is passed on untouched.
            return;
        }

        var committed = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var message = new IncomingMessage(
            args.ApplicationMessage.Topic,
            args.ApplicationMessage.Payload.ToArray(),
            _clock.GetUtcNow(),
            Kept: false,
            () =>
            {
                committed.TrySetResult();
                return Task.CompletedTask;
            });
        try
        {
            await _arrived.Writer.WriteAsync(message, _stop.Token);
            await committed.Task.WaitAsync(_stop.Token);
        }
        catch (OperationCanceledException)
        {
            // Stopping: without an acknowledgement the sender keeps the message.
            args.CloseConnection = true;
            args.ProcessPublish = false;
            throw;
        }
    }
}
