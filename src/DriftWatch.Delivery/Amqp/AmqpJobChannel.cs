using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using RabbitMQ.Client;

namespace DriftWatch.Delivery.Amqp;

/// <summary>
/// A maintenance queue behind an AMQP 0-9-1 broker. Messages are persistent and mandatory; delivered means that the
/// broker has routed the message to a queue and confirmed it.
/// </summary>
public sealed class AmqpJobChannel : IJobChannel, IAlarmChannel, IAsyncDisposable
{
    private readonly AmqpOptions _options;
    private readonly SemaphoreSlim _turn = new(1, 1);
    private IConnection? _connection;
    private IChannel? _channel;

    /// <summary>A channel to a broker; connects on the first delivery.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public AmqpJobChannel(AmqpOptions options)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _options = options;
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public TimeSpan AnswerTimeout => _options.Timeout;

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) => PublishAsync(JobDocument.From(notice), cancellationToken);

    /// <inheritdoc/>
    public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => PublishAsync(AlarmDocument.From(notice), cancellationToken);

    private async Task PublishAsync(NoticeDocument document, CancellationToken cancellationToken)
    {
        BasicProperties properties = new()
        {
            ContentType = "application/json",
            DeliveryMode = DeliveryModes.Persistent,
            MessageId = document.Id,
            Type = document.Type,
            Timestamp = new AmqpTimestamp(document.Time.ToUnixTimeSeconds()),
            AppId = "driftwatch",
        };
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            IChannel channel = _channel is { IsOpen: true } open ? open : await OpenAsync(cancellationToken).ConfigureAwait(false);
            await channel.BasicPublishAsync(_options.Exchange, _options.RoutingKey, mandatory: true, properties, document.ToUtf8Json(), cancellationToken).ConfigureAwait(false);
        }
        catch (RabbitMQ.Client.Exceptions.PublishException failure)
        {
            throw new IOException(
                failure.IsReturn
                    ? $"No queue took the message: nothing is bound to exchange '{_options.Exchange}' with routing key '{_options.RoutingKey}'. Make the queue."
                    : "The broker said that it could not keep the message (nack).",
                failure);
        }
        finally
        {
            _ = _turn.Release();
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await CloseAsync().ConfigureAwait(false);
        _turn.Dispose();
    }

    private async Task<IChannel> OpenAsync(CancellationToken cancellationToken)
    {
        await CloseAsync().ConfigureAwait(false);
        _connection = await AmqpConnection.OpenAsync(_options, "driftwatch jobs", cancellationToken).ConfigureAwait(false);
        return _channel = await _connection.CreateChannelAsync(
            new CreateChannelOptions(publisherConfirmationsEnabled: true, publisherConfirmationTrackingEnabled: true), cancellationToken).ConfigureAwait(false);
    }

    private async Task CloseAsync()
    {
        if (_channel is { } channel)
        {
            _channel = null;
            await channel.DisposeAsync().ConfigureAwait(false);
        }

        if (_connection is { } connection)
        {
            _connection = null;
            await connection.DisposeAsync().ConfigureAwait(false);
        }
    }
}
