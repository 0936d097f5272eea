using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tracking;

/// <summary>All that a vessel's tracker must remember beside its windows.</summary>
/// <param name="Last">Instant of the last reading taken in, UTC; the minimum before the first.</param>
/// <param name="LastSignal">Signal of that reading, as a number; 0 before the first.</param>
/// <param name="FirstReading">Instant of the first reading, UTC; null before it.</param>
/// <param name="LastWindow">End of the last accepted window, UTC; null before it.</param>
/// <param name="Joiner">Newest value of each signal.</param>
/// <param name="Watch">How long the temperature stands still.</param>
/// <param name="Finder">The run of rest that is going on.</param>
/// <param name="Segments">The division into segments.</param>
/// <param name="Held">Windows held back while the temperature is doubtful, oldest first.</param>
/// <param name="Sunk">The last rest during which fluid seeped out; null before the first.</param>
/// <param name="Thermal">What the rests told of the vessel's warmth; null as before the first.</param>
/// <param name="Faults">What is remembered of the signals to see their faults; null as before the first reading.</param>
/// <param name="Stray">Readings left out because they stand far before all others; null for none.</param>
public sealed record TrackerState(
    DateTimeOffset Last,
    byte LastSignal,
    DateTimeOffset? FirstReading,
    DateTimeOffset? LastWindow,
    JoinerState Joiner,
    TemperatureWatchState Watch,
    FinderState Finder,
    SegmentState Segments,
    IReadOnlyList<PrechargeWindow> Held,
    SunkRest? Sunk = null,
    ThermalMemory? Thermal = null,
    FaultState? Faults = null,
    StrayReadings? Stray = null)
{
    /// <summary>Before the first reading.</summary>
    public static TrackerState Start { get; } = new(
        DateTimeOffset.MinValue, 0, null, null,
        new JoinerState(double.NaN, DateTimeOffset.MinValue, double.NaN, DateTimeOffset.MinValue, false, DateTimeOffset.MinValue),
        new TemperatureWatchState(double.NaN, DateTimeOffset.MinValue, 0, DateTimeOffset.MinValue, double.PositiveInfinity, double.NegativeInfinity),
        new FinderState(null, 0, 0, []),
        SegmentState.Start,
        []);

    /// <summary>Windows that end after this instant may still change, or come anew, when tracking goes on from here, UTC.</summary>
    public DateTimeOffset SettledUpTo =>
        Finder.Run is { } run ? run.Blocks[0].First - TimeSpan.FromTicks(1) : Last;
}
