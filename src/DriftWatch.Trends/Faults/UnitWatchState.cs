namespace DriftWatch.Trends.Faults;

/// <summary>What is remembered of a gas pressure to see that it comes in another unit or kind than registered.</summary>
/// <param name="HighestPa">Highest gas pressure of the stretch of readings that is going on, Pa as read; negative infinity before the first.</param>
/// <param name="HighestBeforePa">Highest of the stretch before; NaN where there was none.</param>
/// <param name="Readings">Readings of the stretch that is going on.</param>
/// <param name="Apart">Samples under load in a row whose gas pressure lies far below (above 0) or far above (below 0) the fluid side.</param>
/// <param name="ApartLog">Mean natural logarithm of fluid side over gas side in them.</param>
/// <param name="ApartSince">First of them, UTC.</param>
/// <param name="Factor">By this the windows read too low (above 1) or too high (below 1), if a unit was mixed up; 0 for no suspicion.</param>
/// <param name="LevelPa">Last trusted level before, Pa as read.</param>
/// <param name="Since">First window that raised the suspicion, UTC.</param>
/// <param name="Disproved">Whether readings since have shown that it is no unit.</param>
/// <param name="AirSteps">Windows in a row that stand one pressure of the air above (above 0) or below (below 0) those before.</param>
/// <param name="AirStepPa">By how much, Pa at the reference temperature.</param>
/// <param name="AirLevelPa">Level before, Pa absolute at the reference temperature.</param>
/// <param name="AirSince">First of them, UTC.</param>
public readonly record struct UnitWatchState(
    double HighestPa, double HighestBeforePa, int Readings,
    int Apart, double ApartLog, DateTimeOffset ApartSince,
    double Factor, double LevelPa, DateTimeOffset Since, bool Disproved,
    int AirSteps, double AirStepPa, double AirLevelPa, DateTimeOffset AirSince)
{
    /// <summary>Before the first reading.</summary>
    public static UnitWatchState Start { get; } = new(
        double.NegativeInfinity, double.NaN, 0, 0, 0, DateTimeOffset.MinValue, 0, 0, DateTimeOffset.MinValue, false, 0, 0, 0, DateTimeOffset.MinValue);
}
