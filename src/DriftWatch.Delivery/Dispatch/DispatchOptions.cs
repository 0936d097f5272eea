namespace DriftWatch.Delivery.Dispatch;

/// <summary>Settings of the dispatcher.</summary>
public sealed record DispatchOptions
{
    /// <summary>Longest delay after the first failed try; above 0. Default 1 s.</summary>
    public TimeSpan FirstRetry { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Longest delay between tries; not below <see cref="FirstRetry"/>. Default 5 min: an outage that ends is noticed soon, and a dead far side is not hammered.</summary>
    public TimeSpan LongestRetry { get; init; } = TimeSpan.FromMinutes(5);

    /// <summary>How long one delivery may take before it counts as failed, beyond the time that the channel gives the far side for an answer; above 0. Default 1 min.</summary>
    public TimeSpan DeliveryTimeout { get; init; } = TimeSpan.FromMinutes(1);

    /// <summary>How often the outbox is looked at without a signal; above 0. Default 30 s.</summary>
    public TimeSpan Poll { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>
    /// Refusals of a notice after which it is set aside as a dead letter; at least 1. Default 24: with the default
    /// delays some three quarters of an hour to two hours, longer than most restarts and short enough to be noticed the same day.
    /// </summary>
    public int RefusalsUntilSetAside { get; init; } = 24;

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults()
    {
        List<string> faults = [];
        if (!(FirstRetry > TimeSpan.Zero))
        {
            faults.Add($"FirstRetry is {FirstRetry}: it must be above 0.");
        }

        if (!(LongestRetry >= FirstRetry && LongestRetry <= TimeSpan.FromDays(1)))
        {
            faults.Add($"LongestRetry is {LongestRetry}: it must be from FirstRetry ({FirstRetry}) to 1 d.");
        }

        if (!(DeliveryTimeout > TimeSpan.Zero && DeliveryTimeout <= TimeSpan.FromDays(1)))
        {
            faults.Add($"DeliveryTimeout is {DeliveryTimeout}: it must be above 0 and at most 1 d.");
        }

        if (!(Poll > TimeSpan.Zero && Poll <= TimeSpan.FromDays(1)))
        {
            faults.Add($"Poll is {Poll}: it must be above 0 and at most 1 d.");
        }

        if (RefusalsUntilSetAside < 1)
        {
            faults.Add($"RefusalsUntilSetAside is {RefusalsUntilSetAside}: it must be at least 1.");
        }

        return faults;
    }
}
