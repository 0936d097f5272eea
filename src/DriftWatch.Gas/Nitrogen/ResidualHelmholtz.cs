using static DriftWatch.Gas.Nitrogen.NitrogenCoefficients;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Residual part of the reduced Helmholtz energy, derivatives in closed form. Temperature factors are computed apart, because a
/// density solve stays on one isotherm and needs them once.
/// </summary>
internal static class ResidualHelmholtz
{
    private const int HighestPower = 9;
    private const int HighestExponential = 4;

    /// <summary>Fills <paramref name="factors"/> with the part of each term that depends on tau alone.</summary>
    public static void TemperatureFactors(double tau, Span<double> factors)
    {
        for (int i = 0; i < Power.Length; i++)
        {
            factors[i] = Power[i].N * Math.Pow(tau, Power[i].T);
        }

        for (int i = 0; i < Gaussian.Length; i++)
        {
            GaussianTerm term = Gaussian[i];
            double away = tau - term.Gamma;
            factors[Power.Length + i] = term.N * Math.Pow(tau, term.T) * Math.Exp(-term.Beta * away * away);
        }
    }

    /// <summary>First and second delta derivative (times delta, delta squared) on the isotherm of the factors.</summary>
    public static (double Delta, double DeltaDelta) OnIsotherm(double delta, ReadOnlySpan<double> factors)
    {
        Span<double> powers = stackalloc double[HighestPower + 1];
        Span<double> decays = stackalloc double[HighestExponential + 1];
        Prepare(delta, powers, decays);

        double first = 0;
        double second = 0;
        for (int i = 0; i < Power.Length; i++)
        {
            ref readonly PowerTerm term = ref Power[i];
            double value = factors[i] * powers[term.D] * decays[term.L];
            double g = term.L * powers[term.L];
            double slope = term.D - g;
            first += value * slope;
            second += value * ((slope * (slope - 1)) - (term.L * g));
        }

        for (int i = 0; i < Gaussian.Length; i++)
        {
            ref readonly GaussianTerm term = ref Gaussian[i];
            double value = factors[Power.Length + i] * powers[term.D] * Math.Exp(-term.Phi * (delta - 1) * (delta - 1));
            double slope = term.D - (2 * term.Phi * delta * (delta - 1));
            first += value * slope;
            second += value * ((slope * slope) - term.D - (2 * term.Phi * delta * delta));
        }

        return (first, second);
    }

    /// <summary>The value and all derivatives to second order.</summary>
    public static HelmholtzDerivatives At(double delta, double tau)
    {
        Span<double> factors = stackalloc double[TermCount];
        TemperatureFactors(tau, factors);
        Span<double> powers = stackalloc double[HighestPower + 1];
        Span<double> decays = stackalloc double[HighestExponential + 1];
        Prepare(delta, powers, decays);

        double sum = 0;
        double sumTau = 0;
        double sumTauTau = 0;
        double sumDeltaTau = 0;
        for (int i = 0; i < Power.Length; i++)
        {
            ref readonly PowerTerm term = ref Power[i];
            double value = factors[i] * powers[term.D] * decays[term.L];
            sum += value;
            sumTau += value * term.T;
            sumTauTau += value * term.T * (term.T - 1);
            sumDeltaTau += value * term.T * (term.D - (term.L * powers[term.L]));
        }

        for (int i = 0; i < Gaussian.Length; i++)
        {
            ref readonly GaussianTerm term = ref Gaussian[i];
            double value = factors[Power.Length + i] * powers[term.D] * Math.Exp(-term.Phi * (delta - 1) * (delta - 1));
            double slopeDelta = term.D - (2 * term.Phi * delta * (delta - 1));
            double slopeTau = term.T - (2 * term.Beta * tau * (tau - term.Gamma));
            sum += value;
            sumTau += value * slopeTau;
            sumTauTau += value * ((slopeTau * slopeTau) - term.T - (2 * term.Beta * tau * tau));
            sumDeltaTau += value * slopeDelta * slopeTau;
        }

        (double first, double second) = OnIsotherm(delta, factors);
        return new HelmholtzDerivatives(sum, first, second, sumTau, sumTauTau, sumDeltaTau);
    }

    private static void Prepare(double delta, Span<double> powers, Span<double> decays)
    {
        powers[0] = 1;
        for (int i = 1; i < powers.Length; i++)
        {
            powers[i] = powers[i - 1] * delta;
        }

        decays[0] = 1;
        for (int i = 1; i < decays.Length; i++)
        {
            decays[i] = Math.Exp(-powers[i]);
        }
    }
}
