using System.Diagnostics;

namespace DriftWatch.Delivery.Dispatch;

/// <summary>The traces of delivery; they cost nothing while nobody listens.</summary>
public static class DeliveryTracing
{
    /// <summary>Name of the source.</summary>
    public const string Name = "DriftWatch.Delivery";

    internal static readonly ActivitySource Source = new(Name);
}
