namespace DriftWatch.Trends.Readings;

/// <summary>One reading of one signal of one vessel.</summary>
/// <param name="Signal">What was read.</param>
/// <param name="Instant">When it was true (event time), UTC.</param>
/// <param name="Value">
/// SI value as the sensor gives it: Pa (gauge or absolute as registered), K, or 1/0 for a contact. Finite.
/// </param>
public readonly record struct Reading(Signal Signal, DateTimeOffset Instant, double Value) : IComparable<Reading>
{
    /// <summary>The one order in which readings are taken in: by instant, then by signal.</summary>
    public int CompareTo(Reading other)
    {
        int byInstant = Instant.CompareTo(other.Instant);
        return byInstant != 0 ? byInstant : ((byte)Signal).CompareTo((byte)other.Signal);
    }

    /// <summary>Order of <see cref="CompareTo"/>.</summary>
    public static bool operator <(Reading left, Reading right) => left.CompareTo(right) < 0;

    /// <summary>Order of <see cref="CompareTo"/>.</summary>
    public static bool operator >(Reading left, Reading right) => left.CompareTo(right) > 0;

    /// <summary>Order of <see cref="CompareTo"/>.</summary>
    public static bool operator <=(Reading left, Reading right) => left.CompareTo(right) <= 0;

    /// <summary>Order of <see cref="CompareTo"/>.</summary>
    public static bool operator >=(Reading left, Reading right) => left.CompareTo(right) >= 0;
}
