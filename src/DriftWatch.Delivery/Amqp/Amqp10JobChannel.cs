using Amqp;
using Amqp.Framing;
using Amqp.Sasl;
using Amqp.Types;
using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Amqp;

/// <summary>
/// A maintenance queue behind an AMQP 1.0 broker: CloudEvents 1.0 in binary mode, the attributes as application
/// properties <c>cloudEvents_...</c>. Messages are durable and sent unsettled; delivered means that the broker has
/// settled them as accepted.
/// </summary>
public sealed class Amqp10JobChannel : IJobChannel, IAlarmChannel, IAsyncDisposable
{
    private readonly Amqp10Options _options;
    private readonly SemaphoreSlim _turn = new(1, 1);
    private Connection? _connection;
    private SenderLink? _link;

    /// <summary>A channel to a broker; connects on the first delivery.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public Amqp10JobChannel(Amqp10Options options)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _options = options;
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public TimeSpan AnswerTimeout => _options.Timeout;

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) => SendAsync(JobDocument.From(notice), cancellationToken);

    /// <inheritdoc/>
    public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => SendAsync(AlarmDocument.From(notice), cancellationToken);

    private async Task SendAsync(NoticeDocument document, CancellationToken cancellationToken)
    {
        using Message message = Message(document);
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            SenderLink link = _link is { IsClosed: false } open ? open : await OpenAsync(cancellationToken).ConfigureAwait(false);
            await link.SendAsync(message, _options.Timeout).WaitAsync(cancellationToken).ConfigureAwait(false);
        }
        catch (AmqpException failure) when (failure.Error?.Condition == (Symbol)ErrorCode.MessageSizeExceeded)
        {
            throw new NoticeRefusedException($"The broker finds the message too large: {failure.Message}", permanent: true, failure);
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            // Which exceptions the library throws for a lost connection differs; a new one is made in any case.
            await CloseAsync().ConfigureAwait(false);
            throw new IOException($"AMQP 1.0 broker {_options.Host}:{_options.Port}, address '{_options.Address}': {failure.Message}", failure);
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

    private async Task<SenderLink> OpenAsync(CancellationToken cancellationToken)
    {
        await CloseAsync().ConfigureAwait(false);
        ConnectionFactory factory = new();
        factory.AMQP.ContainerId = "driftwatch-jobs";
        factory.TCP.NoDelay = true;
        Address address = new(
            _options.Host, _options.Port, _options.UserName, _options.Password?.Read(), "/", _options.Tls is null ? "amqp" : "amqps");
        if (_options.UserName is null)
        {
            factory.SASL.Profile = SaslProfile.Anonymous;
        }

        if (_options.Tls is { } tls)
        {
            factory.SSL.RemoteCertificateValidationCallback = (_, certificate, chain, errors) => tls.Trusts(certificate, chain, errors);
            factory.SSL.CheckCertificateRevocation = false;
            if (tls.ClientCertificate() is { } own)
            {
                _ = factory.SSL.ClientCertificates.Add(own);
            }
        }

        _connection = await factory.CreateAsync(address).WaitAsync(_options.Timeout, cancellationToken).ConfigureAwait(false);
        Session session = new(_connection);
        return _link = new SenderLink(session, "driftwatch-jobs", _options.Address);
    }

    private async Task CloseAsync()
    {
        Connection? connection = _connection;
        _link = null;
        _connection = null;
        if (connection is not null)
        {
            try
            {
                await connection.CloseAsync(TimeSpan.FromSeconds(2), null).ConfigureAwait(false);
            }
            catch (Exception failure) when (failure is AmqpException or TimeoutException or ObjectDisposedException or IOException)
            {
                // It is gone already.
            }
        }
    }

    /// <summary>AMQP Protocol Binding for CloudEvents 1.0.2, section 3.1: attributes as application properties with the prefix that JMS can read too.</summary>
    private static Message Message(NoticeDocument document)
    {
        Message message = new()
        {
            Header = new Header { Durable = true },
            Properties = new Properties
            {
                MessageId = document.Id,
                Subject = document.Subject,
                ContentType = "application/json",
                CreationTime = document.Time.UtcDateTime,
            },
            ApplicationProperties = new ApplicationProperties(),
            BodySection = new Data { Binary = document.ToUtf8Json() },
        };
        message.ApplicationProperties["cloudEvents_specversion"] = "1.0";
        message.ApplicationProperties["cloudEvents_id"] = document.Id;
        message.ApplicationProperties["cloudEvents_type"] = document.Type;
        message.ApplicationProperties["cloudEvents_source"] = document.Source;
        message.ApplicationProperties["cloudEvents_subject"] = document.Subject;
        message.ApplicationProperties["cloudEvents_time"] = document.Time.UtcDateTime;
        message.ApplicationProperties["cloudEvents_dataschema"] = document.DataSchema;
        return message;
    }
}
