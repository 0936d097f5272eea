namespace DriftWatch.Acquisition.Door;

/// <summary>How many messages one source may send. It keeps a source gone wild from filling the store.</summary>
/// <remarks>
/// A message refused is a message lost, so the limit is for a source gone wild and for nothing else. A source that was cut off
/// sends what it buffered all at once, and that is good: it is held to its rate by the time that its readings tell, and three
/// days of them take three days of that, however fast they come. What slows a backlog down is the window of unacknowledged
/// messages (receive maximum), which loses nothing. A source gone wild sends many messages of one and the same time.
/// </remarks>
public sealed record SourceRateOptions
{
    /// <summary>Messages a second that one source may send for good; default 1000, above 0 to 1e6.</summary>
    public double MessagesPerSecond { get; init; } = 1000;

    /// <summary>Messages that one source may send at once; default 1 000 000, 1 or more. Beyond it the rate holds.</summary>
    public int Burst { get; init; } = 1_000_000;

    /// <summary>Throws where an option is out of its range, naming all that are.</summary>
    /// <exception cref="ArgumentException">One or more options are out of range.</exception>
    public void Validate()
    {
        List<string> faults = [];
        if (!(MessagesPerSecond > 0 && MessagesPerSecond <= 1e6))
        {
            faults.Add(FormattableString.Invariant($"{nameof(MessagesPerSecond)} is {MessagesPerSecond}; allowed is above 0 to 1000000."));
        }

        if (Burst < 1)
        {
            faults.Add(FormattableString.Invariant($"{nameof(Burst)} is {Burst}; allowed is 1 or more."));
        }

        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(" ", faults));
        }
    }
}
