namespace DriftWatch.Host.Settings;

/// <summary>The MQTT broker that readings come from.</summary>
public sealed record BrokerSettings
{
    /// <summary>Host of an outside broker; none for the embedded one.</summary>
    public string? Host { get; init; }

    /// <summary>Port of either; default 1883, 1 to 65535 (the embedded one also takes 0: any free port).</summary>
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
}
