namespace DriftWatch.Trends.Windows;

/// <summary>A run of samples at rest that is still going on.</summary>
/// <param name="Rest">Number of the rest: runs that were only cut by length share it.</param>
/// <param name="Evidence">What shows that the fluid side is released.</param>
/// <param name="BlockSize">Samples a full block holds.</param>
/// <param name="LastPrechargePa">Normalised pressure of the last sample, Pa absolute.</param>
/// <param name="Blocks">The samples, oldest first.</param>
public sealed record RestRun(long Rest, WindowEvidence Evidence, int BlockSize, double LastPrechargePa, IReadOnlyList<RestBlock> Blocks);
