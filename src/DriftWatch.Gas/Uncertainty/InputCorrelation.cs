namespace DriftWatch.Gas.Uncertainty;

/// <summary>Estimated correlation of two inputs of a budget (JCGM 100, 5.2).</summary>
/// <param name="FirstName">Name of one contributor.</param>
/// <param name="SecondName">Name of the other contributor.</param>
/// <param name="Coefficient">Correlation coefficient, -1 to 1, ends included.</param>
public readonly record struct InputCorrelation(string FirstName, string SecondName, double Coefficient);
