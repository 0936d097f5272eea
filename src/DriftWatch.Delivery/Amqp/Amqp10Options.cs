using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Amqp;

/// <summary>Settings of the AMQP 1.0 channel.</summary>
public sealed record Amqp10Options
{
    /// <summary>Name of the channel in the outbox. Default: amqp10.</summary>
    public string Name { get; init; } = "amqp10";

    /// <summary>Host name or address of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>Its TCP port, 1 to 65535. Default 5672, the port registered for AMQP; with TLS 5671.</summary>
    public int Port { get; init; } = 5672;

    /// <summary>User name (SASL PLAIN); none: SASL ANONYMOUS.</summary>
    public string? UserName { get; init; }

    /// <summary>Where the user's password stands.</summary>
    public SecretSource? Password { get; init; }

    /// <summary>TLS; none by default.</summary>
    public TlsSettings? Tls { get; init; }

    /// <summary>
    /// Target address at the broker, in the broker's own form, such as <c>/queue/jobs</c>. Take a form under which the
    /// broker does not accept messages that it has no queue for.
    /// </summary>
    public required string Address { get; init; }

    /// <summary>How long connecting or the broker's settlement may take; above 0, at most 1 h. Default 30 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.CheckName(Name);
        faults.CheckHost(Host);
        faults.CheckPort(Port);
        faults.CheckUser(UserName, Password);
        faults.Check(!string.IsNullOrWhiteSpace(Address), "address", $"is empty: name the target at the broker.");
        faults.CheckTimeout(Timeout);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        return faults.All;
    }
}
