using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Amqp;

/// <summary>Settings of the AMQP 0-9-1 channel.</summary>
public sealed record AmqpOptions : ServerOptions
{
    /// <summary>The defaults.</summary>
    public AmqpOptions()
        : base("amqp", 5672)
    {
    }

    /// <summary>Virtual host. Default /.</summary>
    public string VirtualHost { get; init; } = "/";

    /// <summary>Exchange to publish to; default the nameless one, where the routing key is the queue's name.</summary>
    public string Exchange { get; init; } = "";

    /// <summary>Routing key. The broker must route it to a queue: a notice that no queue takes counts as not delivered.</summary>
    public required string RoutingKey { get; init; }

    private protected override void CheckOwn(FaultList faults)
    {
        faults.Check(!string.IsNullOrEmpty(VirtualHost), "virtualHost", $"is empty: give / for the default one.");
        faults.Check(
            System.Text.Encoding.UTF8.GetByteCount(RoutingKey) is >= 1 and <= 255, "routingKey", $"is '{RoutingKey}': give 1 to 255 bytes, with the nameless exchange the queue's name.");
    }
}
