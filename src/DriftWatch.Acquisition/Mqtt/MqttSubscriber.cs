using System.Buffers;
using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using Microsoft.Extensions.Logging;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>
/// Acquires readings over MQTT: QoS 1 in a durable session, each message acknowledged only after what it brought is committed.
/// </summary>
/// <remarks>
/// Messages that have arrived are decoded and committed together (group commit), then acknowledged in the order they came.
/// When the commit fails they stay pending and unacknowledged, and the commit is tried again; the broker stops sending when
/// its window of unacknowledged messages is full. When the connection is lost, pending messages are still committed; the
/// broker sends them again, and the sink, idempotent by key, changes nothing. Each connection has its own client object, so
/// that an acknowledgement can only ever reach the connection its message came on: packet identifiers are used again.
/// </remarks>
public sealed class MqttSubscriber
{
    private readonly MqttSubscriberOptions _options;
    private readonly ReadingDecoder _decoder;
    private readonly IReadingSink _sink;
    private readonly TimeProvider _clock;
    private readonly ILogger<MqttSubscriber> _logger;
    private readonly Lock _statusLock = new();
    private SubscriberStatus _status = new(SubscriberState.Stopped, null, 0, 0, 0, 0, 0, null);
    private bool _connected;
    private string? _connectionFault;
    private string? _commitFault;
    private bool _running;
    private volatile IMqttClient? _client;

    /// <summary>Sets the subscriber up; nothing happens before <see cref="RunAsync"/>.</summary>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public MqttSubscriber(
        MqttSubscriberOptions options, ReadingDecoder decoder, IReadingSink sink, TimeProvider clock, ILogger<MqttSubscriber> logger)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        _options = options;
        _decoder = decoder;
        _sink = sink;
        _clock = clock;
        _logger = logger;
    }

    /// <summary>Raised after each change of state, on the thread that changed it.</summary>
    public event Action<SubscriberStatus>? StateChanged;

    /// <summary>Health now.</summary>
    public SubscriberStatus Status
    {
        get
        {
            lock (_statusLock)
            {
                return _status;
            }
        }
    }

    /// <summary>What has been committed so far.</summary>
    public CommitTally Tally { get; private set; } = CommitTally.None;

    /// <summary>Runs until told to stop. Faults of broker and sink never end it; they stand in <see cref="Status"/>.</summary>
    /// <param name="stop">Ends the run; what has been committed by then is acknowledged where that is still possible.</param>
    public async Task RunAsync(CancellationToken stop)
    {
        lock (_statusLock)
        {
            _running = _running ? throw new InvalidOperationException("The subscriber is running already.") : true;
        }

        // The channel bounds what is held when the broker's own window does not (MQTT 3.1.1).
        Channel<IncomingMessage> arrived = Channel.CreateBounded<IncomingMessage>(
            new BoundedChannelOptions(_options.ReceiveMaximum) { SingleReader = true, SingleWriter = false });
        UpdateState();
        try
        {
            // Should committing ever end by a fault of its own, receiving ends too, and the caller learns of it.
            using CancellationTokenSource end = CancellationTokenSource.CreateLinkedTokenSource(stop);
            Task committing = Task.Run(
                async () =>
                {
                    try
                    {
                        await CommitAll(arrived.Reader, end.Token);
                    }
                    finally
                    {
                        await end.CancelAsync();
                    }
                },
                CancellationToken.None);
            await StayConnectedAsync(arrived.Writer, committing, end.Token);
            await committing;
        }
        finally
        {
            lock (_statusLock)
            {
                _running = _connected = false;
                _connectionFault = _commitFault = null;
            }

            UpdateState();
        }
    }

    private async Task StayConnectedAsync(ChannelWriter<IncomingMessage> arrived, Task committing, CancellationToken stop)
    {
        TimeSpan wait = _options.ShortestRetry;
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await ReceiveOverOneConnectionAsync(arrived, committing, () => wait = _options.ShortestRetry, stop);
            }
            catch (Exception) when (stop.IsCancellationRequested)
            {
                // The client gives a cancelled request many faces.
                break;
            }
            catch (Exception exception)
            {
                // Whatever keeps the connection from standing (network, TLS, credentials, refusal) may pass.
                string reason = InnermostReason.Of(exception);
                SetConnection(false, reason);
                _logger.ConnectionFailed(_options.Host, _options.Port, reason, wait.TotalSeconds);
            }

            if (await StoppedWhileWaitingAsync(wait, stop))
            {
                break;
            }

            wait = Longer(wait);
        }

        arrived.Complete();
    }

    private async Task ReceiveOverOneConnectionAsync(
        ChannelWriter<IncomingMessage> arrived, Task committing, Action subscribed, CancellationToken stop)
    {
        using CancellationTokenSource connection = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        TaskCompletionSource<string> lost = new(TaskCreationOptions.RunContinuationsAsynchronously);
        client.DisconnectedAsync += args =>
        {
            lost.TrySetResult(args.Exception is { } fault ? InnermostReason.Of(fault) : args.ReasonString ?? args.Reason.ToString());
            return Task.CompletedTask;
        };
        client.ApplicationMessageReceivedAsync += async args =>
        {
            args.AutoAcknowledge = false;
            DateTimeOffset now = _clock.GetUtcNow();
            lock (_statusLock)
            {
                _status = _status with { MessagesReceived = _status.MessagesReceived + 1, LastMessage = now };
            }

            try
            {
                await arrived.WriteAsync(Incoming(args, now), connection.Token);
            }
            catch (Exception exception) when (exception is OperationCanceledException or ChannelClosedException)
            {
                // The connection ends; what is not acknowledged comes again.
                return;
            }
        };

        try
        {
            MqttClientConnectResult result = await client.ConnectAsync(MqttConnectionOptions.Build(_options), stop);
            if (result.ResultCode != MqttClientConnectResultCode.Success)
            {
                throw new InvalidOperationException($"The broker refuses the connection: {result.ResultCode} {result.ReasonString}".TrimEnd());
            }

            HashSet<string> filters = await SubscribeAsync(client, stop);
            subscribed();
            _client = client;
            SetConnection(true, null);
            _logger.Connected(_options.Host, _options.Port, result.IsSessionPresent ? "resumed" : "new", filters.Count);
            string reason = await RenewUntilLostAsync(client, filters, lost.Task, stop);
            SetConnection(false, reason);
            _logger.ConnectionLost(_options.Host, _options.Port, reason);
        }
        finally
        {
            _client = null;
            if (stop.IsCancellationRequested && client.IsConnected)
            {
                // What is being committed is still acknowledged; the rest comes again at the next start.
                await committing;
                await LeaveAsync(client);
            }

            await connection.CancelAsync();
        }
    }

    /// <summary>Keeps the subscriptions to what the register says now; gives why the connection went.</summary>
    private async Task<string> RenewUntilLostAsync(IMqttClient client, HashSet<string> subscribed, Task<string> lost, CancellationToken stop)
    {
        using SemaphoreSlim changed = new(0);
        void Changed() => changed.Release();
        _decoder.FiltersChanged += Changed;
        try
        {
            // The register may have changed between the first subscription and here.
            changed.Release();
            using CancellationTokenSource end = CancellationTokenSource.CreateLinkedTokenSource(stop);
            while (true)
            {
                Task renewing = changed.WaitAsync(end.Token);
                if (await Task.WhenAny(lost, renewing) == lost || renewing.IsCanceled)
                {
                    await end.CancelAsync();
                    await renewing.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
                    return await lost.WaitAsync(stop);
                }

                if (!subscribed.SetEquals(Filters()))
                {
                    HashSet<string> wanted = await SubscribeAsync(client, stop);
                    string[] gone = [.. subscribed.Except(wanted, StringComparer.Ordinal)];
                    await UnsubscribeAsync(client, gone, stop);
                    subscribed = wanted;
                    _logger.SubscriptionsRenewed(wanted.Count, gone.Length);
                }
            }
        }
        finally
        {
            _decoder.FiltersChanged -= Changed;
        }
    }

    private IReadOnlyCollection<string> Filters() => _options.TopicFilters.Count > 0 ? _options.TopicFilters : _decoder.Filters;

    private static async Task UnsubscribeAsync(IMqttClient client, string[] filters, CancellationToken stop)
    {
        foreach (string filter in filters)
        {
            await client.UnsubscribeAsync(filter, stop);
        }
    }

    /// <summary>Subscribes at each connection: the broker may have lost its sessions, and the register may have grown.</summary>
    private async Task<HashSet<string>> SubscribeAsync(IMqttClient client, CancellationToken stop)
    {
        const int FiltersPerPacket = 200;
        HashSet<string> filters = new(Filters(), StringComparer.Ordinal);
        foreach (string[] some in filters.Chunk(FiltersPerPacket))
        {
            MqttClientSubscribeOptionsBuilder builder = new();
            foreach (string filter in some)
            {
                // A message that the broker keeps is sent once, when the subscription is new (MQTT 5).
                builder.WithTopicFilter(topic =>
                {
                    topic.WithTopic(filter).WithAtLeastOnceQoS();
                    if (_options.Version == MqttVersion.V5)
                    {
                        topic.WithRetainHandling(MqttRetainHandling.SendAtSubscribeIfNewSubscriptionOnly);
                    }
                });
            }

            MqttClientSubscribeResult result = await client.SubscribeAsync(builder.Build(), stop);
            if (result.Items.FirstOrDefault(item => item.ResultCode != MqttClientSubscribeResultCode.GrantedQoS1) is { } refused)
            {
                throw new InvalidOperationException(
                    $"The broker does not grant '{refused.TopicFilter.Topic}' at QoS 1 ({refused.ResultCode}); allow client '{_options.ClientId}' to read it.");
            }
        }

        return filters;
    }

    private async Task LeaveAsync(IMqttClient client)
    {
        // A clean leave; the session stays, by its expiry interval (MQTT 5) or for good (MQTT 3.1.1).
        using CancellationTokenSource patience = new(TimeSpan.FromSeconds(2), _clock);
        try
        {
            await client.DisconnectAsync(
                MqttClientDisconnectOptionsReason.NormalDisconnection,
                sessionExpiryInterval: _options.Version == MqttVersion.V5 ? (uint)_options.SessionExpiry.TotalSeconds : 0,
                cancellationToken: patience.Token);
        }
        catch (Exception exception) when (exception is not OutOfMemoryException)
        {
            // The connection went by itself; that is what was wanted.
            _logger.ConnectionLost(_options.Host, _options.Port, exception.Message);
        }
    }

    private Task CommitAll(ChannelReader<IncomingMessage> arrived, CancellationToken stop)
    {
        CommitPace pace = new(_options.MostMessagesPerCommit, _options.ShortestRetry, _options.LongestRetry);
        return new CommitLoop(_decoder, _sink, pace, _clock, _logger, _options.Rate, AskAsync, Told).RunAsync(arrived, stop);

        // Commands to Sparkplug nodes go at QoS 0.
        Task AskAsync(string topic, byte[] payload) =>
            (_client ?? throw new InvalidOperationException("there is no connection")).PublishBinaryAsync(topic, payload, cancellationToken: stop);

        void Told(CommitTally tally)
        {
            Tally = tally;
            bool changed;
            lock (_statusLock)
            {
                changed = _commitFault is null != tally.Fault is null;
                _commitFault = tally.Fault;
                _status = _status with
                {
                    MessagesCommitted = tally.Messages,
                    ReadingsCommitted = tally.Readings,
                    MessagesQuarantined = tally.Quarantined,
                    MessagesRefused = tally.Refused,
                    Refusals = tally.Refusals,
                };
            }

            if (changed)
            {
                UpdateState();
            }
        }
    }

    private static IncomingMessage Incoming(MqttApplicationMessageReceivedEventArgs args, DateTimeOffset arrived)
    {
        MqttApplicationMessage message = args.ApplicationMessage;
        ReadOnlyMemory<byte> payload = message.Payload.IsSingleSegment ? message.Payload.First : message.Payload.ToArray();
        return new IncomingMessage(message.Topic, payload, arrived, message.Retain, message.Dup, () => args.AcknowledgeAsync(CancellationToken.None));
    }

    private async Task<bool> StoppedWhileWaitingAsync(TimeSpan wait, CancellationToken stop)
    {
        try
        {
            await Task.Delay(wait, _clock, stop);
            return false;
        }
        catch (OperationCanceledException)
        {
            return true;
        }
    }

    private TimeSpan Longer(TimeSpan wait) => wait * 2 < _options.LongestRetry ? wait * 2 : _options.LongestRetry;

    private void SetConnection(bool connected, string? fault)
    {
        lock (_statusLock)
        {
            _connected = connected;
            _connectionFault = fault;
            if (connected)
            {
                _status = _status with { Connections = _status.Connections + 1 };
            }
        }

        UpdateState();
    }

    private void UpdateState()
    {
        SubscriberStatus status;
        lock (_statusLock)
        {
            SubscriberState state = !_running ? SubscriberState.Stopped
                : _commitFault is not null ? SubscriberState.CommitFailing
                : _connected ? SubscriberState.Receiving
                : SubscriberState.Connecting;
            status = _status = _status with { State = state, Fault = _commitFault ?? _connectionFault };
        }

        StateChanged?.Invoke(status);
    }
}
