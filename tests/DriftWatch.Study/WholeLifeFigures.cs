namespace DriftWatch.Study;

/// <summary>What whole lives gave.</summary>
/// <param name="Lives">Lives looked at.</param>
/// <param name="Called">Lives in which the vessel was ever called 'falling faster than allowed'.</param>
/// <param name="CalledAtOnce">Those of them called for a sudden loss.</param>
/// <param name="MeanDays">Mean days to the call, those never called with the whole time.</param>
public readonly record struct WholeLifeFigures(int Lives, int Called, int CalledAtOnce, double MeanDays);
