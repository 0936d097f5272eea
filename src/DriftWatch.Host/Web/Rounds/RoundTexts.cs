using DriftWatch.Plant.Records;
using DriftWatch.Plant.Rounds;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>The words of a round.</summary>
internal static class RoundTexts
{
    /// <summary>What was done, at the beginning of a line.</summary>
    public static string Of(WorkKind kind) => kind switch
    {
        WorkKind.Charge => "Charge",
        WorkKind.Check => "Check",
        WorkKind.TransducerChange => "Transducer change",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "The round has no words for this work."),
    };

    /// <summary>That it was recorded, for the audit log.</summary>
    public static string Recorded(WorkKind kind) => $"{Of(kind).ToLowerInvariant()} recorded";

    public static string Of(DueReason reason) => reason switch
    {
        DueReason.NeverSeen => "its precharge was never seen",
        DueReason.NotTrusted => "its transducers are not trusted, and no charge or check by hand is on record",
        DueReason.Silent => "nothing was seen of it for too long",
        DueReason.AfterCharge => "a week after charging",
        DueReason.AfterFirstSeen => "a week after it was seen first; no charge is on record",
        DueReason.AfterLoss => "a week after a check that found a loss",
        DueReason.LossInTrend => "its trend shows a loss that is not allowed",
        DueReason.FourMonths => "four months after the first check without a loss",
        DueReason.SixMonths => "six months after the last check without a loss",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "The round has no words for this reason."),
    };

    /// <summary>What a check means, as a sentence; the scripts of the round say the same.</summary>
    public static string Of(CheckMeaning meaning) => meaning switch
    {
        CheckMeaning.BelowLowerLimit => "Below the lower limit: it needs gas. Look for the leak before charging.",
        CheckMeaning.AtLowerLimit => "At the lower limit: the uncertainty reaches across it. Read again with care, or charge.",
        CheckMeaning.WithinLimits => "Within the limits.",
        CheckMeaning.AtUpperLimit => "At the upper limit: the uncertainty reaches across it. Read again with care.",
        CheckMeaning.AboveUpperLimit => "Above the upper limit: see first that the fluid side is fully released. If it is, fluid may stand in the gas side, or it was overcharged.",
        _ => throw new ArgumentOutOfRangeException(nameof(meaning), meaning, "The round has no words for this meaning."),
    };

    /// <summary>All meanings with their sentences, for scripts.</summary>
    public static IReadOnlyDictionary<string, string> Meanings { get; } =
        Enum.GetValues<CheckMeaning>().ToDictionary(meaning => meaning.ToString(), Of, StringComparer.Ordinal);
}
