using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Advice;

/// <summary>By when a recharge is recommended.</summary>
public static class RechargeAdvice
{
    /// <summary>
    /// Now for a vessel below its lower limit, whether or not a trend foretells anything; never for one above its upper limit, which
    /// is bled; else by the forecast.
    /// </summary>
    /// <param name="assessment">What is said of the vessel.</param>
    /// <returns>The date, UTC, not before that of the assessment; null for none.</returns>
    public static DateTimeOffset? By(Assessment assessment)
    {
        ArgumentNullException.ThrowIfNull(assessment);
        return assessment.Verdict switch
        {
            Verdict.BelowLowerLimit => assessment.AsOf,
            Verdict.AboveUpperLimit => null,
            _ => assessment.Forecast?.RecommendedRecharge,
        };
    }
}
