namespace DriftWatch.Gas.Nitrogen;

/// <summary>Ideal-gas part of the reduced Helmholtz energy, same source as <see cref="NitrogenCoefficients"/>.</summary>
internal static class IdealHelmholtz
{
    private const double LogTau = 2.5;
    private const double Constant = -12.76952708;
    private const double TauOne = -0.00784163;
    private const double TauMinusOne = -1.934819e-4;
    private const double TauMinusTwo = -1.247742e-5;
    private const double TauMinusThree = 6.678326e-8;
    private const double Vibration = 1.012941;
    private const double VibrationTau = 26.65788;

    /// <summary>Value and tau derivatives; delta enters by its logarithm only.</summary>
    public static HelmholtzDerivatives At(double delta, double tau)
    {
        double inverse = 1 / tau;
        double a1 = TauMinusOne * inverse;
        double a2 = TauMinusTwo * inverse * inverse;
        double a3 = TauMinusThree * inverse * inverse * inverse;
        double x = VibrationTau * tau;
        double decay = Math.Exp(-x);
        double excited = decay / (1 - decay);

        return new HelmholtzDerivatives(
            Value: Math.Log(delta) + (LogTau * Math.Log(tau)) + Constant + (TauOne * tau) + a1 + a2 + a3
                + (Vibration * Math.Log(1 - decay)),
            Delta: 1,
            DeltaDelta: -1,
            Tau: LogTau + (TauOne * tau) - a1 - (2 * a2) - (3 * a3) + (Vibration * x * excited),
            TauTau: -LogTau + (2 * a1) + (6 * a2) + (12 * a3) - (Vibration * x * x * excited * (1 + excited)),
            DeltaTau: 0);
    }
}
