using System.Buffers;
using System.Net;
using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using Microsoft.Extensions.Logging;
using MQTTnet;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>
/// An MQTT broker (5 and 3.1.1) inside the service, for plants and trials without one of their own. It listens on the
/// loopback address unless told otherwise. A sender's QoS 1 message is acknowledged after its readings are committed, so what was
/// acknowledged survives the end of the process although this broker keeps nothing itself. What neither the register nor any
/// subscriber takes is set aside, so that a mistyped topic is seen.
/// </summary>
public sealed class EmbeddedBroker : IAsyncDisposable
{
    private const int MostWaiting = 2000;

    /// <summary>Clients whose first refusal is logged as a warning; one that tries again and again must not flood the log.</summary>
    private const int MostToldRefusals = 1000;

    private static readonly CommitPace Pace = new(1000, TimeSpan.FromSeconds(0.5), TimeSpan.FromSeconds(30));

    private readonly TimeProvider _clock;
    private readonly Channel<IncomingMessage> _arrived = Channel.CreateBounded<IncomingMessage>(
        new BoundedChannelOptions(MostWaiting) { SingleReader = true });
    private readonly CommitLoop _commits;
    private readonly MqttServer _server;
    private readonly CancellationTokenSource _stop = new();
    private readonly ReadingDecoder _decoder;
    private readonly EmbeddedBrokerOptions _options;
    private readonly ILogger _logger;
    private readonly HashSet<string> _toldRefusals = new(StringComparer.Ordinal);

    /// <summary>Sets the broker up; nothing listens before <see cref="StartAsync"/>.</summary>
    /// <param name="options">Where it listens and whom it lets in.</param>
    /// <param name="decoder">Turns payloads into readings.</param>
    /// <param name="sink">Where readings become durable.</param>
    /// <param name="clock">Clock of arrivals and waits.</param>
    /// <param name="logger">Where failures are told.</param>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    /// <exception cref="IOException">A certificate cannot be read.</exception>
    public EmbeddedBroker(EmbeddedBrokerOptions options, ReadingDecoder decoder, IReadingSink sink, TimeProvider clock, ILogger<EmbeddedBroker> logger)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        _options = options;
        _clock = clock;
        _decoder = decoder;
        _logger = logger;
        _commits = new CommitLoop(decoder, sink, Pace, clock, logger, options.Rate, AskAsync, tally => Tally = tally);
        _server = new MqttServerFactory().CreateMqttServer(BrokerEndpoint.Build(options), [new ClientNaming((endpoint, reason) => TellRefusal("that cannot be read", endpoint, reason))]);
        _server.ValidatingConnectionAsync += LetInAsync;
        _server.InterceptingPublishAsync += CommitBeforeAcknowledgingAsync;
        _server.ApplicationMessageNotConsumedAsync += SetAsideBeforeAcknowledgingAsync;
    }

    /// <summary>Port it listens on.</summary>
    public int Port => _options.Port;

    /// <summary>Address it listens on.</summary>
    public IPAddress Address => _options.Address;

    /// <summary>What has been committed so far.</summary>
    public CommitTally Tally { get; private set; } = CommitTally.None;

    /// <summary>
    /// What commits the messages, from <see cref="StartAsync"/> on: ends when the broker is disposed of. When it ends by a fault nothing is
    /// committed or acknowledged any more, and whoever runs the broker must stop it.
    /// </summary>
    public Task Committing { get; private set; } = Task.CompletedTask;

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
                $"The embedded broker cannot listen on {Address}:{Port}: {exception.Message}. Choose another port, or name an outside broker.",
                exception);
        }

        Committing = _commits.RunAsync(_arrived.Reader, _stop.Token);
    }

    /// <summary>Stops listening and committing; what is not acknowledged by then is sent again by its sender.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_stop.IsCancellationRequested)
        {
            return;
        }

        await _stop.CancelAsync();

        // A fault of it is told to whoever waits for it; the server is stopped all the same.
        await Committing.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (_server.IsStarted)
        {
            await _server.StopAsync();
        }

        _server.Dispose();
    }

    private Task AskAsync(string topic, byte[] payload) => _server.InjectApplicationMessage(
        new InjectedMqttApplicationMessage(new MqttApplicationMessageBuilder().WithTopic(topic).WithPayload(payload).Build()), _stop.Token);

    private Task LetInAsync(ValidatingConnectionEventArgs args)
    {
        try
        {
            if (BrokerEndpoint.WhyRefused(_options, args) is { } reason)
            {
                TellRefusal(Named(args), args.RemoteEndPoint, reason);
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or InvalidOperationException)
        {
            args.ReasonCode = MqttConnectReasonCode.ServerUnavailable;
            TellRefusal(Named(args), args.RemoteEndPoint, $"the password to compare with cannot be read: {exception.Message}");
        }

        return Task.CompletedTask;
    }

    private static string Named(ValidatingConnectionEventArgs args) => string.IsNullOrEmpty(args.ClientId) ? "without an id" : $"'{args.ClientId}'";

    private void TellRefusal(string client, EndPoint endpoint, string reason)
    {
        bool first;
        lock (_toldRefusals)
        {
            first = _toldRefusals.Count < MostToldRefusals && _toldRefusals.Add($"{client} {reason}");
        }

        if (first)
        {
            _logger.ClientFirstRefused(client, endpoint, reason);
        }
        else
        {
            _logger.ClientRefused(client, endpoint, reason);
        }
    }

    /// <summary>The server acknowledges a message to its sender when this returns.</summary>
    private async Task CommitBeforeAcknowledgingAsync(InterceptingPublishEventArgs args)
    {
        if (!_decoder.Concerns(args.ApplicationMessage.Topic))
        {
            // Others may use the broker too, jobs among them; what is not in the register is passed on untouched.
            return;
        }

        try
        {
            await CommitAsync(args.ApplicationMessage);
        }
        catch (OperationCanceledException)
        {
            // Stopping: without an acknowledgement the sender keeps the message.
            args.CloseConnection = true;
            args.ProcessPublish = false;
            throw;
        }
    }

    /// <summary>What nobody takes; the server acknowledges it when this returns.</summary>
    private async Task SetAsideBeforeAcknowledgingAsync(ApplicationMessageNotConsumedEventArgs args)
    {
        // What this broker itself was asked to publish has no sender.
        string topic = args.ApplicationMessage.Topic;
        if (string.IsNullOrEmpty(args.SenderId) || topic.StartsWith('$') || IsOwn(topic) || _decoder.Concerns(topic))
        {
            return;
        }

        try
        {
            await CommitAsync(args.ApplicationMessage);
        }
        catch (OperationCanceledException)
        {
            // Stopping, as above; here the server would go on to acknowledge.
            await _server.DisconnectClientAsync(args.SenderId, MqttDisconnectReasonCode.ServerShuttingDown);
        }
    }

    private bool IsOwn(string topic) => _options.OwnTopics.Any(own =>
        topic.StartsWith(own, StringComparison.Ordinal) && (topic.Length == own.Length || topic[own.Length] == '/'));

    /// <summary>Hands a message to the commit and waits until it is done.</summary>
    /// <exception cref="OperationCanceledException">Told to stop before.</exception>
    private async Task CommitAsync(MqttApplicationMessage published)
    {
        var committed = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var message = new IncomingMessage(
            published.Topic,
            published.Payload.ToArray(),
            _clock.GetUtcNow(),
            Kept: false,
            published.Dup,
            () =>
            {
                committed.TrySetResult();
                return Task.CompletedTask;
            });
        await _arrived.Writer.WriteAsync(message, _stop.Token);
        await committed.Task.WaitAsync(_stop.Token);
    }
}
