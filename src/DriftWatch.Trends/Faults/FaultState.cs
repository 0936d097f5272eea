namespace DriftWatch.Trends.Faults;

/// <summary>What is remembered of a vessel's signals to see their faults.</summary>
/// <param name="Pressure">Gas pressure.</param>
/// <param name="Temperature">Gas temperature.</param>
/// <param name="Fluid">Fluid-side pressure; null before its first reading.</param>
/// <param name="Unit">What is remembered to see another unit or kind.</param>
/// <param name="DifferencePa">Running mean of gas less fluid-side gauge pressure under load, Pa.</param>
/// <param name="Differences">How many differences it rests on.</param>
/// <param name="Swings">Big swings of the gas pressure in a row while the fluid side was said to be released.</param>
/// <param name="SwingsSince">First of them, UTC.</param>
/// <param name="NoisyRests">Rests in a row with a noisy pressure.</param>
/// <param name="ShakyRests">Rests in a row with a noisy temperature.</param>
/// <param name="NoisySince">First noisy rest of either, UTC.</param>
/// <param name="EmptySince">Since when an empty vessel shows the pressure of the air where it should not, UTC; null for no.</param>
public sealed record FaultState(
    SignalWatchState Pressure, SignalWatchState Temperature, SignalWatchState? Fluid,
    UnitWatchState Unit, double DifferencePa, int Differences,
    int Swings, DateTimeOffset SwingsSince, int NoisyRests, int ShakyRests, DateTimeOffset NoisySince, DateTimeOffset? EmptySince)
{
    /// <summary>Before the first reading.</summary>
    public static FaultState Start { get; } = new(
        SignalWatchState.Start, SignalWatchState.Start, null, UnitWatchState.Start, 0, 0,
        0, DateTimeOffset.MinValue, 0, 0, DateTimeOffset.MinValue, null);
}
