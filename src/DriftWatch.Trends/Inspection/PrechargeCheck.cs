namespace DriftWatch.Trends.Inspection;

/// <summary>A moment at which the precharge was seen: a check by hand, or a window of a trusted transducer.</summary>
/// <param name="Instant">When, UTC.</param>
/// <param name="LossFound">Whether it showed a loss that the vessel's limits or its allowed rate do not let pass.</param>
public readonly record struct PrechargeCheck(DateTimeOffset Instant, bool LossFound);
