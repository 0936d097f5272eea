namespace DriftWatch.Trends.Verdicts;

/// <summary>What verdicts are called wherever people read them, and in what order vessels need a hand.</summary>
public static class VerdictNames
{
    /// <summary>All verdicts, the one that calls for a hand first in front.</summary>
    public static IReadOnlyList<Verdict> ByUrgency { get; } =
    [
        Verdict.BelowLowerLimit, Verdict.FallingFasterThanAllowed, Verdict.AboveUpperLimit, Verdict.NoWindowTooLong,
        Verdict.NotKnownYet, Verdict.WithinLimits,
    ];

    /// <summary>The verdict in plain words, to stand in a line.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a verdict.</exception>
    public static string NameOf(Verdict verdict) => verdict switch
    {
        Verdict.BelowLowerLimit => "below lower limit",
        Verdict.FallingFasterThanAllowed => "falling faster than allowed",
        Verdict.AboveUpperLimit => "above upper limit",
        Verdict.NoWindowTooLong => "no window for too long",
        Verdict.NotKnownYet => "not known yet",
        Verdict.WithinLimits => "within limits",
        _ => throw new ArgumentOutOfRangeException(nameof(verdict), verdict, "Not a verdict."),
    };

    /// <summary>Words as they stand at the beginning of a line.</summary>
    /// <param name="words">One word or more.</param>
    public static string AtLineStart(string words)
    {
        ArgumentException.ThrowIfNullOrEmpty(words);
        return char.ToUpperInvariant(words[0]) + words[1..];
    }

    /// <summary>Whether somebody has to look after a vessel of which this is said.</summary>
    public static bool NeedsAHand(Verdict verdict) => verdict is not (Verdict.WithinLimits or Verdict.NotKnownYet);

    /// <summary>Place in <see cref="ByUrgency"/>, from 0 on.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a verdict.</exception>
    public static int UrgencyOf(Verdict verdict)
    {
        for (int place = 0; place < ByUrgency.Count; place++)
        {
            if (ByUrgency[place] == verdict)
            {
                return place;
            }
        }

        throw new ArgumentOutOfRangeException(nameof(verdict), verdict, "Not a verdict.");
    }
}
