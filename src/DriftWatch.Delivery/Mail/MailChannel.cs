using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;

namespace DriftWatch.Delivery.Mail;

/// <summary>
/// Mail as a maintenance queue. Delivered means that the server has accepted the message, for all recipients but those whom it refuses
/// for good: somebody who has left must not keep the mails from all others. A connection is made for each mail: they are few.
/// </summary>
public sealed class MailChannel : IJobChannel, IFloodChannel
{
    private readonly MailOptions _options;
    private readonly AlarmFloodRule _flood;
    private readonly Func<string, ReadOnlyMemory<byte>?> _chartOf;
    private volatile string? _refusedRecipients;

    /// <summary>A channel to a mail server.</summary>
    /// <param name="options">Settings.</param>
    /// <param name="flood">What counts as a flood of alarms, which is one mail.</param>
    /// <param name="chartOf">The trend chart of a vessel id as PNG, to be shown inline; null for none.</param>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public MailChannel(MailOptions options, AlarmFloodRule flood, Func<string, ReadOnlyMemory<byte>?> chartOf)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _options = options;
        _flood = flood;
        _chartOf = chartOf;
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public TimeSpan AnswerTimeout => _options.Timeout;

    /// <inheritdoc/>
    public string? RefusedRecipients => _refusedRecipients;

    /// <inheritdoc/>
    public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
    {
        using MimeMessage mail = JobMail.Write(notice, _options, notice.IsTest ? null : _chartOf(notice.Job.VesselId));
        await SendAsync(mail, cancellationToken).ConfigureAwait(false);
    }

    /// <inheritdoc/>
    public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => DeliverAsync([notice], cancellationToken);

    /// <inheritdoc/>
    public int FewestTogether => _flood.Vessels;

    /// <inheritdoc/>
    public async Task DeliverAsync(IReadOnlyList<AlarmNotice> notices, CancellationToken cancellationToken)
    {
        // A flood is one mail: forty would hide what they tell.
        using MimeMessage mail = AlarmMail.Write(notices, _options, _flood);
        await SendAsync(mail, cancellationToken).ConfigureAwait(false);
    }

    private async Task SendAsync(MimeMessage mail, CancellationToken cancellationToken)
    {
        using RecipientsApart client = new() { Timeout = (int)_options.Timeout.TotalMilliseconds };
        if (_options.Tls is { } tls)
        {
            client.CheckCertificateRevocation = false;
            client.ServerCertificateValidationCallback = (_, certificate, chain, errors) => tls.Trusts(certificate, chain, errors);
            if (tls.ClientCertificate() is { } own)
            {
                client.ClientCertificates = [own];
            }
        }

        try
        {
            await client.ConnectAsync(_options.Host, _options.Port, SecurityOf(_options.Security), cancellationToken).ConfigureAwait(false);
            if (_options.UserName is { } user)
            {
                await client.AuthenticateAsync(user, _options.Password?.Read() ?? "", cancellationToken).ConfigureAwait(false);
            }

            _ = await client.SendAsync(mail, cancellationToken).ConfigureAwait(false);
            _refusedRecipients = client.Refused.Count > 0 ? string.Join("; ", client.Refused) : null;
        }
        catch (SmtpCommandException refused) when (refused.ErrorCode == SmtpErrorCode.MessageNotAccepted)
        {
            // RFC 5321 section 4.2.1: 5yz is permanent, 4yz is worth another try.
            throw new NoticeRefusedException($"The mail server did not accept the message: {(int)refused.StatusCode} {refused.Message}", (int)refused.StatusCode >= 500, refused);
        }

        try
        {
            await client.DisconnectAsync(quit: true, cancellationToken).ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is IOException or ProtocolException or SmtpCommandException)
        {
            // The server has the mail; that it hung up first changes nothing.
        }
    }

    private static SecureSocketOptions SecurityOf(string security) => security switch
    {
        "tls" => SecureSocketOptions.SslOnConnect,
        "none" => SecureSocketOptions.None,
        _ => SecureSocketOptions.StartTls,
    };

    /// <summary>
    /// Goes on without the recipients whom the server refuses for good (5yz), as long as it takes one. One whom it refuses for now (4yz)
    /// fails the mail, which is tried again then.
    /// </summary>
    private sealed class RecipientsApart : SmtpClient
    {
        public List<string> Refused { get; } = [];

        protected override void OnRecipientNotAccepted(MimeMessage message, MailboxAddress mailbox, SmtpResponse response)
        {
            string said = $"{mailbox.Address}: {(int)response.StatusCode} {response.Response}";
            if ((int)response.StatusCode < 500)
            {
                throw new IOException($"The mail server does not take mail for {said}");
            }

            Refused.Add(said);
        }

        protected override void OnNoRecipientsAccepted(MimeMessage message) =>
            throw new IOException($"The mail server takes mail for no recipient: {string.Join("; ", Refused)}");
    }
}
