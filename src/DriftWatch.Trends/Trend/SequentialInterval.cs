namespace DriftWatch.Trends.Trend;

/// <summary>
/// Interval for a regression slope that holds at all sample sizes at once: however often it is looked at, it misses the
/// true slope ever with at most the stated probability. It inverts the mixture likelihood ratio of the linear model
/// with unknown level and scatter, a normal mixture over the slope (Robbins, Ann. Math. Statist. 41 (1970) 1397; with
/// unknown scatter: Lindon, Ham, Tingley and Bojinov, 'Anytime-valid linear models', 2022).
/// </summary>
internal static class SequentialInterval
{
    /// <summary>Half-width of the interval about the estimated slope, Pa/s; infinite while nothing can be said.</summary>
    /// <param name="scatter">Residual standard deviation in units of the points' uncertainties.</param>
    /// <param name="squareSum">Weighted sum of squared time distances, (s/Pa)2.</param>
    /// <param name="freedom">Degrees of freedom of the scatter.</param>
    /// <param name="scalePaPerSecond">Distance of slopes at which the interval should be sharp, Pa/s.</param>
    /// <param name="missProbability">Probability of ever missing.</param>
    public static double HalfWidth(double scatter, double squareSum, int freedom, double scalePaPerSecond, double missProbability)
    {
        if (freedom < 1)
        {
            return double.PositiveInfinity;
        }

        double prior = 1 / (scalePaPerSecond * scalePaPerSecond);
        double priorShare = prior / (prior + squareSum);
        double bound = 1 / (missProbability * Math.Sqrt(priorShare));
        double growth = Math.Pow(bound, 2.0 / (freedom + 1));
        return growth * priorShare >= 1
            ? double.PositiveInfinity
            : scatter * Math.Sqrt(freedom * (growth - 1) / (1 - (growth * priorShare)) / squareSum);
    }
}
