namespace DriftWatch.Plant.Jobs;

/// <summary>How a job came to its end: what a queue may do with its own order.</summary>
public enum JobEnd
{
    /// <summary>The vessel was charged or bled, on record or seen in the trend.</summary>
    Charged,

    /// <summary>A check by hand is on record that answers it.</summary>
    Checked,

    /// <summary>The cause went by itself.</summary>
    CauseEnded,

    /// <summary>A job of graver cause has taken its work in.</summary>
    Superseded,

    /// <summary>Its queue has declined it, with a reason.</summary>
    Declined,

    /// <summary>What it rested on no longer holds: it should not be worked on.</summary>
    Withdrawn,
}
