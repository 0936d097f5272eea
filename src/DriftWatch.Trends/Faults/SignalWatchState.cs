namespace DriftWatch.Trends.Faults;

/// <summary>What is remembered of one analog signal to see its faults.</summary>
/// <param name="Last">Last reading, UTC; the minimum before the first.</param>
/// <param name="Value">Its value, Pa or K.</param>
/// <param name="Stands">Readings of that value in a row.</param>
/// <param name="StandsSince">First of them, UTC.</param>
/// <param name="OtherLow">Lowest value meanwhile of the signal that must move it; Pa or K.</param>
/// <param name="OtherHigh">Highest value meanwhile of the signal that must move it; Pa or K.</param>
/// <param name="Loop">What the loop says.</param>
/// <param name="LoopRun">Readings in a row for which it says so.</param>
/// <param name="LoopSince">First of them, UTC.</param>
/// <param name="TypicalS">Typical time between readings (running median), s; 0 before the second.</param>
/// <param name="IntervalS">Time between the last two readings, s.</param>
/// <param name="Gaps">Share of the newest intervals, some fifty, in which two readings or more are missing; 0 to 1.</param>
/// <param name="Interleaved">Pairs of uneven intervals in a row that add up to the typical one.</param>
/// <param name="InterleavedAt">When such pairs last proved two runs of the clock, UTC; the minimum for never.</param>
/// <param name="OtherLegs">Great ways of the other signal meanwhile, down and up by turns; below 0 where the last of them leads down.</param>
/// <param name="OtherTurn">Where the last of them has led, Pa or K.</param>
public readonly record struct SignalWatchState(
    DateTimeOffset Last, double Value, int Stands, DateTimeOffset StandsSince, double OtherLow, double OtherHigh,
    LoopState Loop, int LoopRun, DateTimeOffset LoopSince,
    double TypicalS, double IntervalS, double Gaps, int Interleaved, DateTimeOffset InterleavedAt,
    int OtherLegs = 0, double OtherTurn = 0)
{
    /// <summary>Before the first reading.</summary>
    public static SignalWatchState Start { get; } = new(
        DateTimeOffset.MinValue, double.NaN, 0, DateTimeOffset.MinValue, double.PositiveInfinity, double.NegativeInfinity,
        LoopState.Measuring, 0, DateTimeOffset.MinValue, 0, 0, 0, 0, DateTimeOffset.MinValue);
}
