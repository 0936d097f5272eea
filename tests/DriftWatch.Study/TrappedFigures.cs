namespace DriftWatch.Study;

/// <summary>What the rests with fluid shut in gave.</summary>
/// <param name="Episodes">Rests with fluid shut in.</param>
/// <param name="Taken">Of these, taken for the precharge.</param>
/// <param name="Points">Points of the trend, all in all.</param>
public readonly record struct TrappedFigures(int Episodes, int Taken, int Points);
