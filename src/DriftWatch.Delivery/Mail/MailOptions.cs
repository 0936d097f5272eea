using DriftWatch.Delivery.Security;
using MimeKit;

namespace DriftWatch.Delivery.Mail;

/// <summary>Settings of the mail channel.</summary>
public sealed record MailOptions
{
    /// <summary>Name of the channel in the outbox. Default: mail.</summary>
    public string Name { get; init; } = "mail";

    /// <summary>Host name or address of the mail server.</summary>
    public required string Host { get; init; }

    /// <summary>Its TCP port, 1 to 65535. Default 587, the port of mail submission (RFC 6409).</summary>
    public int Port { get; init; } = 587;

    /// <summary><c>startTls</c> (the server must offer it), <c>tls</c> from the first byte, or <c>none</c>. Default startTls.</summary>
    public string Security { get; init; } = "startTls";

    /// <summary>User name; null for none.</summary>
    public string? UserName { get; init; }

    /// <summary>Where the user's password stands.</summary>
    public SecretSource? Password { get; init; }

    /// <summary>TLS settings; none: the system's authorities.</summary>
    public TlsSettings? Tls { get; init; }

    /// <summary>Sender's address.</summary>
    public required string From { get; init; }

    /// <summary>Addresses to send to, at least one.</summary>
    public required IReadOnlyList<string> To { get; init; }

    /// <summary>How long connecting or an answer of the server may take; above 0, at most 1 h. Default 30 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Whether alarms are told by it too. Default: no.</summary>
    public bool Alarms { get; init; }

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.CheckName(Name);
        faults.CheckHost(Host);
        faults.CheckPort(Port);
        faults.Check(Security is "startTls" or "tls" or "none", "security", $"is '{Security}': give startTls, tls or none.");
        faults.CheckUser(UserName, Password);
        faults.Check(Security != "none" || UserName is null, "security", $"is none: a password is not sent in clear; give startTls or tls.");
        faults.Check(IsAddress(From), "from", $"is '{From}': give one mail address.");
        faults.Check(To.Count > 0, "to", $"is empty: give at least one mail address.");
        foreach (string address in To)
        {
            faults.Check(IsAddress(address), "to", $"holds '{address}', which is no mail address.");
        }

        faults.CheckTimeout(Timeout);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        return faults.All;
    }

    private static bool IsAddress(string text) => MailboxAddress.TryParse(text, out MailboxAddress? address) && address.Address.Contains('@', StringComparison.Ordinal);
}
