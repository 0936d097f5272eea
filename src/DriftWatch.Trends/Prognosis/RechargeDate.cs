namespace DriftWatch.Trends.Prognosis;

/// <summary>
/// By when a recharge is recommended: a week before the earliest credible date at which the lower limit is reached. The early end
/// of the interval is taken, not the best estimate (ISO 13381-1: a prognosis is acted on with its confidence); the week is that of
/// the first check after a charge (common practice), so that the check as well still comes before the limit can be reached.
/// </summary>
public static class RechargeDate
{
    /// <summary>Time between the recharge and the earliest credible crossing.</summary>
    public static TimeSpan Margin { get; } = TimeSpan.FromDays(7);

    /// <summary>The date; not before the moment of the assessment.</summary>
    /// <param name="earliest">Earliest credible date at which the lower limit is reached, UTC; null when it is not foreseen.</param>
    /// <param name="asOf">Moment of the assessment, UTC.</param>
    /// <returns>The date, UTC; null when the limit is not foreseen to be reached.</returns>
    public static DateTimeOffset? Before(DateTimeOffset? earliest, DateTimeOffset asOf) =>
        earliest is not { } date ? null : date - asOf > Margin ? date - Margin : asOf;
}
