using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Jobs;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>
/// A maintenance queue behind an MQTT broker: each job's document is published at QoS 1 and retained on the job's own
/// topic. Delivered means acknowledged by the broker (PUBACK). The connection is made when there is something to
/// deliver and made again when it was lost.
/// </summary>
public sealed class MqttJobChannel : IJobChannel, IAsyncDisposable
{
    private readonly MqttJobOptions _options;
    private readonly MqttClientOptions _connect;
    private readonly IMqttClient _client;
    private readonly SemaphoreSlim _turn = new(1, 1);

    /// <summary>A channel to a broker; connects on the first delivery.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public MqttJobChannel(MqttJobOptions options)
    {
        IReadOnlyList<string> faults = options.Faults();
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(options));
        }

        _options = options;
        MqttClientFactory factory = new();
        _client = factory.CreateMqttClient();
        MqttClientOptionsBuilder builder = factory.CreateClientOptionsBuilder()
            .WithTcpServer(options.Host, options.Port)
            .WithProtocolVersion(options.Protocol)
            .WithClientId(options.ClientId)
            .WithCleanSession()
            .WithTimeout(options.Timeout);
        _connect = (options.UserName is null ? builder : builder.WithCredentials(options.UserName, options.Password)).Build();
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
    {
        MqttApplicationMessage message = Message(notice);
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            if (!_client.IsConnected)
            {
                await ConnectAsync(cancellationToken).ConfigureAwait(false);
            }

            MqttClientPublishResult result = await _client.PublishAsync(message, cancellationToken).ConfigureAwait(false);
            if (!result.IsSuccess)
            {
                throw new IOException(
                    $"Broker {_options.Host}:{_options.Port} refused a message on '{message.Topic}': {result.ReasonCode} {result.ReasonString}. Give user '{_options.UserName}' the right to publish there.");
            }
        }
        finally
        {
            _ = _turn.Release();
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (_client.IsConnected)
        {
            _ = await _client.TryDisconnectAsync().ConfigureAwait(false);
        }

        _client.Dispose();
        _turn.Dispose();
    }

    private async Task ConnectAsync(CancellationToken cancellationToken)
    {
        MqttClientConnectResult result = await _client.ConnectAsync(_connect, cancellationToken).ConfigureAwait(false);
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException(
                $"Broker {_options.Host}:{_options.Port} refused the connection: {result.ResultCode} {result.ReasonString}. Check user, password and client identifier '{_options.ClientId}'.");
        }
    }

    private MqttApplicationMessage Message(JobNotice notice)
    {
        MqttApplicationMessageBuilder builder = new MqttApplicationMessageBuilder()
            .WithTopic(JobTopic.Of(_options.TopicPrefix, notice.Job))
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithRetainFlag()
            .WithPayload(JobDocument.From(notice).ToUtf8Json());
        if (_options.Protocol == MqttProtocolVersion.V500)
        {
            builder = builder
                .WithContentType("application/json")
                .WithPayloadFormatIndicator(MqttPayloadFormatIndicator.CharacterData);
        }

        return builder.Build();
    }
}
