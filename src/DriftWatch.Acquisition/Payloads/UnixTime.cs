namespace DriftWatch.Acquisition.Payloads;

/// <summary>Instants counted from the Unix epoch, as whole microseconds, so that one instant sent twice is one key.</summary>
internal static class UnixTime
{
    private static readonly long HighestMicroseconds = (DateTime.MaxValue.Ticks - DateTime.UnixEpoch.Ticks) / TimeSpan.TicksPerMicrosecond;
    private static readonly long LowestMicroseconds = -DateTime.UnixEpoch.Ticks / TimeSpan.TicksPerMicrosecond;

    /// <summary>Seconds in floating point, rounded to the microsecond, which a double holds until the year 2242.</summary>
    public static bool TryFromSeconds(double seconds, out DateTimeOffset instant)
    {
        double microseconds = Math.Round(seconds * 1e6);
        return TryFromMicroseconds(
            microseconds >= LowestMicroseconds && microseconds <= HighestMicroseconds ? (long)microseconds : long.MaxValue, out instant);
    }

    /// <summary>A decimal count; what is finer than a microsecond is dropped, as in text.</summary>
    public static bool TryFromCount(decimal count, decimal microsecondsPerCount, out DateTimeOffset instant)
    {
        // Bounded first, so that the product cannot overflow.
        if (count < -1e21m || count > 1e21m)
        {
            instant = default;
            return false;
        }

        decimal microseconds = Math.Floor(count * microsecondsPerCount);
        return TryFromMicroseconds(
            microseconds >= LowestMicroseconds && microseconds <= HighestMicroseconds ? (long)microseconds : long.MaxValue, out instant);
    }

    private static bool TryFromMicroseconds(long microseconds, out DateTimeOffset instant)
    {
        if (microseconds < LowestMicroseconds || microseconds > HighestMicroseconds)
        {
            instant = default;
            return false;
        }

        instant = new DateTimeOffset(DateTime.UnixEpoch.Ticks + (microseconds * TimeSpan.TicksPerMicrosecond), TimeSpan.Zero);
        return true;
    }
}
