using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Amqp;

/// <summary>Settings of the AMQP 0-9-1 channel.</summary>
public sealed record AmqpOptions
{
    /// <summary>Name of the channel in the outbox. Default: amqp.</summary>
    public string Name { get; init; } = "amqp";

    /// <summary>Host name or address of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>Its TCP port, 1 to 65535. Default 5672, the port registered for AMQP; with TLS 5671.</summary>
    public int Port { get; init; } = 5672;

    /// <summary>Virtual host. Default /.</summary>
    public string VirtualHost { get; init; } = "/";

    /// <summary>User name; the broker's own default user where left out.</summary>
    public string? UserName { get; init; }

    /// <summary>Where the user's password stands.</summary>
    public SecretSource? Password { get; init; }

    /// <summary>TLS; none by default.</summary>
    public TlsSettings? Tls { get; init; }

    /// <summary>Exchange to publish to; default the nameless one, where the routing key is the queue's name.</summary>
    public string Exchange { get; init; } = "";

    /// <summary>Routing key. The broker must route it to a queue: a notice that no queue takes counts as not delivered.</summary>
    public required string RoutingKey { get; init; }

    /// <summary>How long connecting or the broker's confirmation may take; above 0, at most 1 h. Default 30 s.</summary>
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
        faults.Check(!string.IsNullOrEmpty(VirtualHost), "virtualHost", $"is empty: give / for the default one.");
        faults.CheckUser(UserName, Password);
        faults.Check(
            System.Text.Encoding.UTF8.GetByteCount(RoutingKey) is >= 1 and <= 255, "routingKey", $"is '{RoutingKey}': give 1 to 255 bytes, with the nameless exchange the queue's name.");
        faults.CheckTimeout(Timeout);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        return faults.All;
    }
}
