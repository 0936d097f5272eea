namespace DriftWatch.Trends.Trend;

/// <summary>
/// Tukey's biweight for residuals in units of their scale. Tuned to 95 % efficiency on normal data
/// (Beaton and Tukey, Technometrics 16 (1974) 147).
/// </summary>
internal static class TukeyBiweight
{
    private const double Tuning = 4.685;

    /// <summary>Weight psi(e)/e: 1 at zero, 0 from the tuning constant on.</summary>
    public static double Weight(double e)
    {
        double share = e / Tuning;
        double rest = 1 - (share * share);
        return rest <= 0 ? 0 : rest * rest;
    }

    /// <summary>Twice rho: e^2 near zero, held at a third of the square of the tuning constant from there on.</summary>
    public static double Square(double e)
    {
        double rest = Math.Max(0, 1 - (e / Tuning * (e / Tuning)));
        return Tuning * Tuning / 3 * (1 - (rest * rest * rest));
    }

    /// <summary>Derivative of psi.</summary>
    public static double PsiSlope(double e)
    {
        double square = e / Tuning * (e / Tuning);
        return square >= 1 ? 0 : (1 - square) * (1 - (5 * square));
    }
}
