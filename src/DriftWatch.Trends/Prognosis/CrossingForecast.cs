namespace DriftWatch.Trends.Prognosis;

/// <summary>
/// When the precharge crosses the lower limit if the loss goes on as it does (ISO 13381-1: estimated time to failure
/// with its confidence, the failure here being 'precharge below the lower limit').
/// </summary>
/// <param name="Crossing">Best estimate, UTC; null when the trend does not fall, or not to the limit within 100 years.</param>
/// <param name="Earliest">
/// Early end of the 95 % interval, UTC; null when even the steepest credible trend does not reach the limit within 100 years,
/// and when the level lies below the limit since nobody knows when.
/// </param>
/// <param name="Latest">Late end of the 95 % interval, UTC; null when it may never cross.</param>
public sealed record CrossingForecast(DateTimeOffset? Crossing, DateTimeOffset? Earliest, DateTimeOffset? Latest)
{
    /// <summary>
    /// What the crossing costs: usable volume lost with the precharge at the lower limit; null when the register lacks the working pressures.
    /// </summary>
    public UsableVolumeLoss? LossAtCrossing { get; init; }

    /// <summary>
    /// By when a recharge is recommended (<see cref="RechargeDate"/>), UTC; null when the limit is not foreseen to be reached, and while
    /// too little is known for a verdict.
    /// </summary>
    public DateTimeOffset? RecommendedRecharge { get; init; }
}
