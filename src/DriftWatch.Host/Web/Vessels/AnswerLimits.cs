using DriftWatch.Gas.Uncertainty;
using DriftWatch.Host.Web.Readers;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>What keeps the answer on a vessel from being sharper, and what would sharpen it: the largest obstacle first.</summary>
internal static class AnswerLimits
{
    /// <summary>Below this share of the total variance a part does not limit the level.</summary>
    private const double MostOfVariance = 0.5;

    public static IReadOnlyList<string> Of(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment, ReaderFormat format)
    {
        if (assessment is null)
        {
            return ["No reading of this vessel has come in yet. Check that its sources send, and under the topics of the register."];
        }

        List<string> limits = [];
        if (assessment.DataFault.Length > 0)
        {
            limits.Add($"{format.Sentence(assessment.DataFault)} Until that is mended, windows may be left out.");
        }

        if (assessment.PointCount < VerdictJudge.FewestForTrend)
        {
            int missing = VerdictJudge.FewestForTrend - assessment.PointCount;
            limits.Add($"The current stretch has {assessment.PointCount} point{(assessment.PointCount == 1 ? "" : "s")}; a loss rate needs {VerdictJudge.FewestForTrend}. {missing} more window{(missing == 1 ? "" : "s")} with the fluid side released would give one.");
        }

        if (assessment.Fit is { } fit && SpanOfTrend(vessel, fit, format) is { } span)
        {
            limits.Add(span);
        }

        PrechargeWindow[] accepted = [.. windows.Where(window => window.Standing == WindowStanding.Accepted)];
        if (accepted.LastOrDefault() is { } last)
        {
            double shared = last.SharedUncertaintyPa * last.SharedUncertaintyPa;
            double random = last.RandomUncertaintyPa * last.RandomUncertaintyPa;
            if (shared > MostOfVariance * (shared + random))
            {
                limits.Add($"The level is limited by what all windows share, above all by {Greatest(last)} ({format.Small(last.SharedUncertaintyPa)} together, k = 1): more windows do not sharpen it, a calibration or a check by hand does. The loss rate is hardly touched by it.");
            }
        }

        int ambiguous = windows.Count(window => window.Standing == WindowStanding.Ambiguous);
        if (ambiguous > 0)
        {
            limits.Add($"{format.Count(ambiguous)} window{(ambiguous == 1 ? " is" : "s are")} not decided yet: trapped fluid looks like a higher precharge until later rests tell.");
        }

        if (accepted.Length > 0 && accepted.All(window => window.Evidence == WindowEvidence.RestingPlateau))
        {
            limits.Add("Windows are found from the gas side alone. A fluid-side pressure or a contact that tells 'depressurised' would prove each one by itself.");
        }

        if (limits.Count == 0)
        {
            limits.Add("Nothing stands out: points, span and transducers are good enough for the question asked.");
        }

        return limits;
    }

    private static string Greatest(PrechargeWindow window) =>
        window.Shares.Greatest.FirstOrDefault(share => share.Sharing == Sharing.Shared) is { Name: { } name }
            ? char.ToLowerInvariant(name[0]) + name[1..]
            : "the calibration of the transducers";

    /// <summary>
    /// The uncertainty of a slope goes with the span to the power -3/2 while windows keep coming at the same rate (span times root
    /// of the number of points); so the time until it equals the allowed rate follows.
    /// </summary>
    private static string? SpanOfTrend(Vessel vessel, TrendFit fit, ReaderFormat format)
    {
        double half = fit.SlopeNowHalfWidthPaPerSecond();
        double ratio = half / vessel.Specification.AllowedLossPaPerSecond;
        TimeSpan behind = fit.LastPoint - fit.FirstPoint;
        if (!(ratio > 1) || !double.IsFinite(ratio))
        {
            return null;
        }

        string start = $"The loss rate is known to ± {format.Rate(half * LossRate.SecondsPerMonth)}, wider than the allowed {format.Rate(vessel.Specification.AllowedLossPaPerSecond * LossRate.SecondsPerMonth)}: {fit.PointCount} points over {format.Span(behind)}";
        double days = behind.TotalDays * (Math.Pow(ratio, 2.0 / 3) - 1);
        return days is > 0 and < 3650
            ? $"{start}. With windows coming as they do, some {format.Span(TimeSpan.FromDays(Math.Max(2, days)))} more would narrow it to that; a charge starts it anew."
            : $"{start}.";
    }
}
