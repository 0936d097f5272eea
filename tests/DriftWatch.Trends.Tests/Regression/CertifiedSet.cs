namespace DriftWatch.Trends.Tests.Regression;

/// <summary>A regression set with its certified values.</summary>
/// <param name="Name">Name of the set.</param>
/// <param name="Design">One row an observation, one column a coefficient.</param>
/// <param name="Values">Observed values.</param>
/// <param name="Coefficients">Certified coefficients.</param>
/// <param name="StandardDeviations">Certified standard deviations of the coefficients.</param>
/// <param name="ResidualStandardDeviation">Certified residual standard deviation.</param>
internal sealed record CertifiedSet(
    string Name, double[][] Design, double[] Values, double[] Coefficients, double[] StandardDeviations, double ResidualStandardDeviation);
