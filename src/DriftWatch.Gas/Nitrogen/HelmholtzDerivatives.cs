namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// A reduced Helmholtz energy and its derivatives, each times the variables it was derived by, so that all are pure numbers:
/// <c>DeltaDelta</c> is delta squared times the second derivative by delta.
/// </summary>
internal readonly record struct HelmholtzDerivatives(
    double Value, double Delta, double DeltaDelta, double Tau, double TauTau, double DeltaTau);
