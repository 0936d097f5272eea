namespace DriftWatch.Study;

/// <summary>What the trials of a crossing date gave.</summary>
/// <param name="Points">Points a trial.</param>
/// <param name="Coverage">Share of trials whose interval held the true date.</param>
/// <param name="Curves">Share of trials in which the first-order loss was taken.</param>
public readonly record struct CrossingFigures(int Points, double Coverage, double Curves);
