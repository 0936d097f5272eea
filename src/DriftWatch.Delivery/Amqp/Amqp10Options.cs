using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Amqp;

/// <summary>Settings of the AMQP 1.0 channel.</summary>
public sealed record Amqp10Options : ServerOptions
{
    /// <summary>The defaults.</summary>
    public Amqp10Options()
        : base("amqp10", 5672)
    {
    }

    /// <summary>
    /// Target address at the broker, in the broker's own form, such as <c>/queue/jobs</c>. Take a form under which the
    /// broker does not accept messages that it has no queue for.
    /// </summary>
    public required string Address { get; init; }

    private protected override void CheckOwn(FaultList faults)
    {
        faults.Check(!string.IsNullOrWhiteSpace(Address), "address", $"is empty: name the target at the broker.");
    }
}
