namespace DriftWatch.Trends.Trend;

/// <summary>
/// A straight line by weighted least squares, about the weighted mean of the instants. Sums are taken about the means,
/// so that no digits are lost to large offsets.
/// </summary>
/// <param name="MeanSeconds">Weighted mean of the instants by the points' own weights, s.</param>
/// <param name="Level">Value at <see cref="MeanSeconds"/>.</param>
/// <param name="Slope">Slope per second.</param>
/// <param name="WeightSum">Sum of the points' own weights.</param>
/// <param name="SquareSum">Weighted sum of squared distances from <see cref="MeanSeconds"/> by the points' own weights.</param>
public readonly record struct WeightedLine(double MeanSeconds, double Level, double Slope, double WeightSum, double SquareSum)
{
    /// <summary>Fits a line.</summary>
    /// <param name="seconds">Instants, s; at least two different ones.</param>
    /// <param name="values">Values, same length.</param>
    /// <param name="weights">Weights the line is fitted with, same length; not negative.</param>
    /// <param name="ownWeights">Weights of the points by their uncertainty alone, same length; above 0.</param>
    /// <returns>The line.</returns>
    public static WeightedLine Fit(
        ReadOnlySpan<double> seconds, ReadOnlySpan<double> values, ReadOnlySpan<double> weights, ReadOnlySpan<double> ownWeights)
    {
        (double meanSeconds, double meanValue, _) = Means(seconds, values, weights);
        double squares = 0, products = 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            double time = seconds[i] - meanSeconds;
            squares += weights[i] * time * time;
            products += weights[i] * time * (values[i] - meanValue);
        }

        double slope = products / squares;
        (double ownMean, _, double ownSum) = Means(seconds, values, ownWeights);
        double ownSquares = 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            double time = seconds[i] - ownMean;
            ownSquares += ownWeights[i] * time * time;
        }

        return new WeightedLine(ownMean, meanValue + (slope * (ownMean - meanSeconds)), slope, ownSum, ownSquares);
    }

    /// <summary>Value of the line at an instant, s.</summary>
    public double At(double seconds) => Level + (Slope * (seconds - MeanSeconds));

    /// <summary>Residuals of points in units of their uncertainties.</summary>
    public void Residuals(
        ReadOnlySpan<double> seconds, ReadOnlySpan<double> values, ReadOnlySpan<double> uncertainties, Span<double> residuals)
    {
        for (int i = 0; i < seconds.Length; i++)
        {
            residuals[i] = (values[i] - At(seconds[i])) / uncertainties[i];
        }
    }

    private static (double MeanSeconds, double MeanValue, double WeightSum) Means(
        ReadOnlySpan<double> seconds, ReadOnlySpan<double> values, ReadOnlySpan<double> weights)
    {
        double sum = 0, time = 0, value = 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            sum += weights[i];
            time += weights[i] * seconds[i];
            value += weights[i] * (values[i] - values[0]);
        }

        return (time / sum, values[0] + (value / sum), sum);
    }
}
