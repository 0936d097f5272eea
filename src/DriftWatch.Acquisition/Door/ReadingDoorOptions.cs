namespace DriftWatch.Acquisition.Door;

/// <summary>What a reading must satisfy to be let in.</summary>
public sealed record ReadingDoorOptions
{
    /// <summary>
    /// How far a value may lie outside the range of its sensor, as a share of the span; default 0.1, from 0 to 10. A
    /// transducer shows a little more than its range; further out it is broken, or the unit is wrong.
    /// </summary>
    public double RangeMargin { get; init; } = 0.1;

    /// <summary>
    /// Earliest instant taken, UTC; default 2015-01-01. A logger whose clock was never set dates its readings by where its calendar
    /// begins: 1970, 1980, 2000 or the year it was made.
    /// </summary>
    public DateTimeOffset Earliest { get; init; } = new(2015, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>How far an instant may lie after its arrival; default one day, 0 or more.</summary>
    public TimeSpan FutureTolerance { get; init; } = TimeSpan.FromDays(1);

    /// <summary>Whether any future instant is taken, as a replay of recorded or made-up streams needs it; default false.</summary>
    public bool AcceptsAnyFuture { get; init; }

    /// <summary>Throws where an option is out of its range, naming all that are.</summary>
    /// <exception cref="ArgumentException">One or more options are out of range.</exception>
    public void Validate()
    {
        List<string> faults = [];
        if (!(RangeMargin >= 0 && RangeMargin <= 10))
        {
            faults.Add(FormattableString.Invariant($"{nameof(RangeMargin)} is {RangeMargin}; allowed is 0 to 10."));
        }

        if (FutureTolerance < TimeSpan.Zero)
        {
            faults.Add($"{nameof(FutureTolerance)} is {FutureTolerance:c}; allowed is 0 or more.");
        }

        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(" ", faults));
        }
    }
}
