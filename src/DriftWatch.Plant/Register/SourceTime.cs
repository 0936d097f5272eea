namespace DriftWatch.Plant.Register;

/// <summary>How a source writes the time of its readings.</summary>
public enum SourceTime
{
    /// <summary>
    /// A text is RFC 3339; a number counts from the Unix epoch in s (below 1e11), ms (below 1e14), us (below 1e17) or ns,
    /// which tells the four apart for every instant from 1990 to the year 5138.
    /// </summary>
    Recognised,

    /// <summary>RFC 3339 text.</summary>
    Rfc3339,

    /// <summary>Seconds from the Unix epoch.</summary>
    EpochSeconds,

    /// <summary>Milliseconds from the Unix epoch.</summary>
    EpochMilliseconds,

    /// <summary>Microseconds from the Unix epoch.</summary>
    EpochMicroseconds,

    /// <summary>Nanoseconds from the Unix epoch.</summary>
    EpochNanoseconds,

    /// <summary>None that counts: a reading is taken as true when its message arrives.</summary>
    Arrival,
}
