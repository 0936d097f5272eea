using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Output;

/// <summary>The order in which vessels need a hand.</summary>
internal static class Urgency
{
    public static int Rank(Verdict verdict) => verdict switch
    {
        Verdict.BelowLowerLimit => 0,
        Verdict.FallingFasterThanAllowed => 1,
        Verdict.AboveUpperLimit => 2,
        Verdict.NoWindowTooLong => 3,
        Verdict.NotKnownYet => 4,
        _ => 5,
    };

    /// <summary>The verdict in plain words.</summary>
    public static string Words(Verdict verdict) => verdict switch
    {
        Verdict.BelowLowerLimit => "below lower limit",
        Verdict.FallingFasterThanAllowed => "falling faster than allowed",
        Verdict.AboveUpperLimit => "above upper limit",
        Verdict.NoWindowTooLong => "no window for too long",
        Verdict.NotKnownYet => "not known yet",
        Verdict.WithinLimits => "within limits",
        _ => throw new ArgumentOutOfRangeException(nameof(verdict), verdict, "Not a verdict."),
    };
}
