using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Pages;

/// <summary>How a verdict looks in words and tone.</summary>
internal static class VerdictTone
{
    /// <summary>Class of its colours in the style sheet.</summary>
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.BelowLowerLimit or Verdict.FallingFasterThanAllowed => "tone-loss",
        Verdict.AboveUpperLimit => "tone-excess",
        Verdict.NoWindowTooLong => "tone-silent",
        Verdict.NotKnownYet => "tone-open",
        _ => "tone-good",
    };

    /// <summary>Its words at the beginning of a line.</summary>
    public static string Words(Verdict verdict) => VerdictNames.AtLineStart(VerdictNames.NameOf(verdict));

    public static string Words(WindowStanding standing) => standing switch
    {
        WindowStanding.Accepted => "taken",
        WindowStanding.Ambiguous => "not decided yet",
        _ => "left out",
    };

    public static string Words(WindowEvidence evidence) => evidence switch
    {
        WindowEvidence.FluidPressure => "fluid-side pressure near zero",
        WindowEvidence.Contact => "contact 'depressurised' closed",
        _ => "resting plateau of the gas side",
    };
}
