namespace DriftWatch.Delivery.Dispatch;

/// <summary>
/// How long to wait after failed tries: doubled with each, up to a longest, and of that a random part between half and
/// all, so that channels which failed together do not come back together.
/// </summary>
public static class RetryDelay
{
    /// <summary>Delay after a number of failures in a row.</summary>
    /// <param name="failures">Failures so far, at least 1.</param>
    /// <param name="first">Longest delay after the first failure; above 0.</param>
    /// <param name="longest">Longest delay at all; not below <paramref name="first"/>.</param>
    /// <param name="random">Random number from 0 (inclusive) to 1 (exclusive).</param>
    public static TimeSpan After(int failures, TimeSpan first, TimeSpan longest, double random)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(failures, 1);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(first, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThan(longest, first);
        if (!(random >= 0 && random < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(random), random, "The random number must be from 0 (inclusive) to 1 (exclusive).");
        }

        // As doubles: 2 to a high power overflows ticks long before it overflows a double.
        double full = Math.Min(longest.TotalSeconds, first.TotalSeconds * Math.Pow(2, failures - 1));
        return TimeSpan.FromSeconds(full * (0.5 + (0.5 * random)));
    }
}
