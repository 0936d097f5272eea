namespace DriftWatch.Acquisition.Payloads;

/// <summary>How a plain JSON payload writes its time.</summary>
public enum PayloadTime
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
}
