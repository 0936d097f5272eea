using DriftWatch.Delivery.Security;
using MimeKit;

namespace DriftWatch.Delivery.Mail;

/// <summary>Settings of the mail channel.</summary>
public sealed record MailOptions : ServerOptions
{
    /// <summary>The defaults.</summary>
    public MailOptions()
        : base("mail", 587)
    {
    }

    /// <summary><c>startTls</c> (the server must offer it), <c>tls</c> from the first byte, or <c>none</c>. Default startTls.</summary>
    public string Security { get; init; } = "startTls";

    /// <summary>Sender's address.</summary>
    public required string From { get; init; }

    /// <summary>Addresses to send to, at least one.</summary>
    public required IReadOnlyList<string> To { get; init; }

    private protected override void CheckOwn(FaultList faults)
    {
        faults.Check(Security is "startTls" or "tls" or "none", "security", $"is '{Security}': give startTls, tls or none.");
        faults.Check(Security != "none" || UserName is null, "security", $"is none: a password is not sent in clear; give startTls or tls.");
        faults.Check(IsAddress(From), "from", $"is '{From}': give one mail address.");
        faults.Check(To.Count > 0, "to", $"is empty: give at least one mail address.");
        foreach (string address in To)
        {
            faults.Check(IsAddress(address), "to", $"holds '{address}', which is no mail address.");
        }
    }

    private static bool IsAddress(string text) => MailboxAddress.TryParse(text, out MailboxAddress? address) && address.Address.Contains('@', StringComparison.Ordinal);
}
