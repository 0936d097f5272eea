using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>
/// A maintenance queue behind an MQTT broker: each job's document is published at QoS 1 and retained on the job's own
/// topic. Delivered means acknowledged by the broker (PUBACK). The connection is made when there is something to
/// deliver and made again when it was lost.
/// </summary>
public sealed class MqttJobChannel : IJobChannel, IAlarmChannel, IAsyncDisposable
{
    private static readonly TimeSpan KeepTest = TimeSpan.FromHours(1);

    private readonly MqttJobOptions _options;
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly SemaphoreSlim _turn = new(1, 1);

    /// <summary>A channel to a broker; connects on the first delivery.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public MqttJobChannel(MqttJobOptions options)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _options = options;
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public TimeSpan AnswerTimeout => _options.Timeout;

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) => PublishAsync(Message(notice), cancellationToken);

    /// <inheritdoc/>
    public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => PublishAsync(Message(notice), cancellationToken);

    private async Task PublishAsync(MqttApplicationMessage message, CancellationToken cancellationToken)
    {
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            if (!_client.IsConnected)
            {
                MqttClientOptions connect = MqttConnection.Builder(_options).WithClientId(_options.ClientId).WithCleanSession().Build();
                await MqttConnection.ConnectAsync(_client, _options, connect, cancellationToken).ConfigureAwait(false);
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

    private MqttApplicationMessage Message(AlarmNotice notice) => Message(
        JobTopic.Of(_options.TopicPrefix, notice.Alarm), AlarmDocument.From(notice), retain: true, notice.News == AlarmNews.Normal ? _options.KeepClosed : null);

    private MqttApplicationMessage Message(JobNotice notice)
    {
        JobDocument document = JobDocument.From(notice);
        return notice.IsTest
            ? Message($"{_options.TopicPrefix}/channel-test", document, retain: false, KeepTest)
            : Message(JobTopic.Of(_options.TopicPrefix, notice.Job), document, retain: true, notice.State == JobState.Closed ? _options.KeepClosed : null);
    }

    private MqttApplicationMessage Message(string topic, NoticeDocument document, bool retain, TimeSpan? keep)
    {
        MqttApplicationMessageBuilder builder = new MqttApplicationMessageBuilder()
            .WithTopic(topic)
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithRetainFlag(retain)
            .WithPayload(document.ToUtf8Json());
        if (_options.Version == "5")
        {
            builder = builder.WithContentType("application/json").WithPayloadFormatIndicator(MqttPayloadFormatIndicator.CharacterData);
            if (keep is { } expiry)
            {
                builder = builder.WithMessageExpiryInterval((uint)expiry.TotalSeconds);
            }
        }

        return builder.Build();
    }
}
