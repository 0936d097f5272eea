using System.Net;

namespace DriftWatch.Host.Settings;

/// <summary>The MQTT broker that readings come from.</summary>
public sealed record BrokerSettings
{
    /// <summary>Host of an outside broker; none for the embedded one.</summary>
    public string? Host { get; init; }

    /// <summary>Port of either; default 1883, 1 to 65535.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Version of MQTT spoken to an outside broker: 5 or 3.1.1; default 5.</summary>
    public string Version { get; init; } = "5";

    /// <summary>Client id towards an outside broker, which keeps the session under it; default driftwatch.</summary>
    public string ClientId { get; init; } = "driftwatch";

    /// <summary>
    /// Address the embedded broker listens on; default 127.0.0.1. Any address that others can reach needs userName and a
    /// password, or clientAuthorityFile.
    /// </summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>User name: given to an outside broker, asked for by the embedded one.</summary>
    public string? UserName { get; init; }

    /// <summary>Environment variable that holds the password.</summary>
    public string? PasswordEnvironmentVariable { get; init; }

    /// <summary>File whose first line is the password.</summary>
    public string? PasswordFile { get; init; }

    /// <summary>TLS towards an outside broker, trusting the authorities of the system; default false.</summary>
    public bool Tls { get; init; }

    /// <summary>PEM file of the authorities to trust towards an outside broker; given, TLS is used.</summary>
    public string? AuthorityFile { get; init; }

    /// <summary>Name that an outside broker's certificate must bear; none: the host.</summary>
    public string? ServerName { get; init; }

    /// <summary>PEM file of the own certificate, as client of an outside broker or as the embedded one; given, TLS is used.</summary>
    public string? CertificateFile { get; init; }

    /// <summary>PEM file of its key, where the certificate file does not hold it.</summary>
    public string? KeyFile { get; init; }

    /// <summary>PEM file of the authorities whose certificates the clients of the embedded broker must bear.</summary>
    public string? ClientAuthorityFile { get; init; }

    /// <summary>Messages a second that one source may send for good; default 1000, above 0 to 1000000.</summary>
    public double MessagesPerSecond { get; init; } = 1000;

    /// <summary>Messages that one source may send at once, beyond its rate; default 1000000, 1 or more.</summary>
    public int Burst { get; init; } = 1_000_000;

    private bool HasPassword => PasswordEnvironmentVariable is not null || PasswordFile is not null;

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults() =>
    [
        .. Fault(Host is null || !string.IsNullOrWhiteSpace(Host), "host", "is empty: name the broker, or leave it out for the embedded one."),
        .. Fault(Port is >= 1 and <= 65535, "port", FormattableString.Invariant($"is {Port}: give 1 to 65535.")),
        .. Fault(Version is "5" or "3.1.1", "version", $"is '{Version}': give \"5\" or \"3.1.1\"."),
        .. Fault(!string.IsNullOrWhiteSpace(ClientId), "clientId", "is empty: an outside broker keeps the session under it."),
        .. Fault(PasswordEnvironmentVariable is null || PasswordFile is null, "passwordFile", "and broker.passwordEnvironmentVariable are both given: give one of them."),
        .. Fault(UserName is not null || !HasPassword, "userName", "is missing: a password needs one."),
        .. Fault(CertificateFile is not null || KeyFile is null, "keyFile", "needs broker.certificateFile: name the file with the own certificate."),
        .. Fault(MessagesPerSecond > 0 && MessagesPerSecond <= 1e6, "messagesPerSecond", FormattableString.Invariant($"is {MessagesPerSecond}: give above 0 to 1000000.")),
        .. Fault(Burst >= 1, "burst", FormattableString.Invariant($"is {Burst}: give 1 or more.")),
        .. Host is null ? EmbeddedFaults() : OutsideFaults(),
    ];

    /// <summary>What it names and cannot be used now, a line each.</summary>
    internal IEnumerable<string> Missing() =>
    [
        .. NamedFile.SecretFaults("broker.password", PasswordEnvironmentVariable, PasswordFile),
        .. NamedFile.CertificateFaults("broker.", CertificateFile, KeyFile),
        .. NamedFile.AuthorityFaults("broker.authorityFile", AuthorityFile),
        .. NamedFile.AuthorityFaults("broker.clientAuthorityFile", ClientAuthorityFile),
    ];

    private IEnumerable<string> EmbeddedFaults() =>
    [
        .. Fault(!Tls, "tls", "is for an outside broker: name it in broker.host, or give broker.certificateFile for TLS of the embedded one."),
        .. Fault(AuthorityFile is null, "authorityFile", "is for an outside broker: name it in broker.host."),
        .. Fault(ServerName is null, "serverName", "is for an outside broker: name it in broker.host."),
        .. Fault(CertificateFile is not null || ClientAuthorityFile is null, "clientAuthorityFile", "needs broker.certificateFile: name the file with the own certificate."),
        .. Fault(UserName is null || HasPassword, "passwordFile", "is missing: broker.userName needs it, or passwordEnvironmentVariable."),
        .. IPAddress.TryParse(Address, out IPAddress? address)
            ? Fault(
                IPAddress.IsLoopback(address) || UserName is not null || ClientAuthorityFile is not null,
                "address", $"is '{Address}', which other machines reach: give broker.userName and a password, or broker.clientAuthorityFile.")
            : Fault(false, "address", $"is '{Address}': give an IP address of this machine, such as 127.0.0.1 or 0.0.0.0."),
    ];

    private IEnumerable<string> OutsideFaults() =>
        Fault(ClientAuthorityFile is null, "clientAuthorityFile", "is for the embedded broker: remove it, or broker.host.");

    private static IEnumerable<string> Fault(bool good, string field, string says) => good ? [] : [$"broker.{field} {says}"];
}
