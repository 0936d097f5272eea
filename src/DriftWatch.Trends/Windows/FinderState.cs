namespace DriftWatch.Trends.Windows;

/// <summary>Where the search for windows stands.</summary>
/// <param name="Run">The run that is going on, or null.</param>
/// <param name="NextRest">Number of the next rest.</param>
/// <param name="WorkPassed">How much of the work on record lies behind.</param>
/// <param name="Held">Samples held back from the run until the fluid side tells whether it was still released, oldest first.</param>
public sealed record FinderState(RestRun? Run, long NextRest, int WorkPassed, IReadOnlyList<RestBlock> Held);
