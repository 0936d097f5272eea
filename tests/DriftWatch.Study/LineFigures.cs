namespace DriftWatch.Study;

/// <summary>What the trials of a straight loss gave.</summary>
/// <param name="Points">Points a trial.</param>
/// <param name="Trials">Trials.</param>
/// <param name="ErrorOverBound">Root mean square error of the slope over the Cramer-Rao bound of the stated deviation.</param>
/// <param name="Coverage">Share of trials whose 95 % interval held the true slope.</param>
public readonly record struct LineFigures(int Points, int Trials, double ErrorOverBound, double Coverage);
