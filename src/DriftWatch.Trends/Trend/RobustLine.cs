namespace DriftWatch.Trends.Trend;

/// <summary>
/// A robust straight line through entries, and what its residuals say of its errors. The estimate is an M-estimate in the
/// manner of Yohai (Ann. Statist. 15 (1987) 642): a start that gross errors cannot carry away (Theil-Sen, breakdown 29 %), a scale
/// taken from it and held, then Tukey's biweight, which gives back the efficiency that the start lacks.
/// </summary>
/// <param name="Line">The line.</param>
/// <param name="Scatter">Scatter of the residuals in units of the entries' uncertainties.</param>
/// <param name="Inflation">Factor on the line's standard errors for the correlation of neighbouring residuals, 1 or more.</param>
/// <param name="Entries">Number of entries.</param>
/// <param name="Discrepancy">Robust sum of squared residuals, in units of the entries' uncertainties.</param>
internal readonly record struct RobustLine(WeightedLine Line, double Scatter, double Inflation, int Entries, double Discrepancy)
{
    /// <summary>With fewer entries none can be told to be an outlier: plain weighted least squares.</summary>
    private const int FewestForRobust = 6;

    /// <summary>With fewer entries the correlation of neighbours says nothing.</summary>
    private const int FewestForCorrelation = 8;

    /// <summary>Fits a line.</summary>
    /// <param name="seconds">Instants, s, ascending; at least two different ones.</param>
    /// <param name="values">Values, same length.</param>
    /// <param name="uncertainties">Standard uncertainties, same length; above 0.</param>
    public static RobustLine Fit(double[] seconds, double[] values, double[] uncertainties)
    {
        int count = seconds.Length;
        double[] weights = Array.ConvertAll(uncertainties, u => 1 / (u * u));
        double[] residuals = new double[count];
        WeightedLine line = WeightedLine.Fit(seconds, values, weights, weights);
        if (count < FewestForRobust)
        {
            line.Residuals(seconds, values, uncertainties, residuals);
            double squares = 0;
            foreach (double residual in residuals)
            {
                squares += residual * residual;
            }

            return new RobustLine(line, count == 2 ? 0 : Math.Sqrt(squares / (count - 2)), 1, count, squares);
        }

        line = StartingLine(seconds, values, line);
        line.Residuals(seconds, values, uncertainties, residuals);

        // Of a few entries the median deviation can be small by chance, which would cast out good ones: the budget steadies it.
        double scale = TrendFitter.Pooled(
            TrendFitter.ConsistentMedianDeviation * MedianOfMagnitudes(residuals) * count / (count - 2.0), count - 2);
        double[] robustWeights = new double[count];
        for (int iteration = 0; iteration < 50; iteration++)
        {
            for (int i = 0; i < count; i++)
            {
                robustWeights[i] = weights[i] * TukeyBiweight.Weight(residuals[i] / scale);
            }

            double previous = line.Slope;
            line = WeightedLine.Fit(seconds, values, robustWeights, weights);
            line.Residuals(seconds, values, uncertainties, residuals);
            if (Math.Abs(line.Slope - previous) * Math.Sqrt(line.SquareSum) < 1e-9)
            {
                break;
            }
        }

        double correlation = SerialCorrelation(residuals);
        return new RobustLine(
            line, EffectiveScatter(residuals, scale), Math.Sqrt((1 + correlation) / (1 - correlation)), count, RobustSquares(residuals, scale));
    }

    /// <summary>
    /// Scatter that gives the M-estimate its standard error when put into the least-squares formula, with Huber's
    /// small-sample correction (Huber and Ronchetti, Robust Statistics, 2nd ed., section 7.6).
    /// </summary>
    private static double EffectiveScatter(double[] residuals, double scale)
    {
        int count = residuals.Length;
        double psiSquares = 0, slopes = 0, slopeSquares = 0;
        foreach (double residual in residuals)
        {
            double e = residual / scale;
            double psi = e * TukeyBiweight.Weight(e);
            double slope = TukeyBiweight.PsiSlope(e);
            psiSquares += psi * psi;
            slopes += slope;
            slopeSquares += slope * slope;
        }

        double meanSlope = slopes / count;
        double variance = (slopeSquares / count) - (meanSlope * meanSlope);
        double correction = 1 + (2 * variance / (count * meanSlope * meanSlope));
        return correction * scale * Math.Sqrt(psiSquares / (count - 2)) / meanSlope;
    }

    private static double RobustSquares(double[] residuals, double scale)
    {
        double sum = 0;
        foreach (double residual in residuals)
        {
            sum += TukeyBiweight.Square(residual / scale);
        }

        return sum * scale * scale;
    }

    private static WeightedLine StartingLine(double[] seconds, double[] values, WeightedLine plain)
    {
        int count = seconds.Length;
        double slope = TheilSen.Slope(seconds, values);
        double[] levels = new double[count];
        for (int i = 0; i < count; i++)
        {
            levels[i] = values[i] - (slope * (seconds[i] - plain.MeanSeconds));
        }

        return plain with { Slope = slope, Level = Medians.Of(levels) };
    }

    /// <summary>
    /// Correlation of neighbouring residuals: a slow error (sensor placement through the seasons) makes many points worth fewer. The plain
    /// estimate is low by some (2 + 4 rho)/n after a line is taken out (Kendall, Biometrika 41 (1954) 403), which is given back; what chance alone
    /// makes of few entries is taken off again in proportion to its weight.
    /// </summary>
    private static double SerialCorrelation(double[] residuals)
    {
        int count = residuals.Length;
        if (count < FewestForCorrelation)
        {
            return 0;
        }

        double limit = 3 * TrendFitter.ConsistentMedianDeviation * MedianOfMagnitudes(residuals);
        double products = 0, squares = 0;
        double previous = 0;
        foreach (double residual in residuals)
        {
            double bounded = Math.Clamp(residual, -limit, limit);
            products += bounded * previous;
            squares += bounded * bounded;
            previous = bounded;
        }

        if (squares == 0)
        {
            return 0;
        }

        double correlation = ((count * products / squares) + 2) / (count - 4);
        return Shrunk(correlation, count);
    }

    private static double Shrunk(double correlation, int count)
    {
        if (correlation <= 0)
        {
            return 0;
        }

        // Wiener's weight: the square of what is seen against that plus the variance of chance.
        double square = correlation * correlation;
        return Math.Min(correlation * square / (square + (1.0 / count)), 0.95);
    }

    private static double MedianOfMagnitudes(double[] values)
    {
        double[] magnitudes = Array.ConvertAll(values, Math.Abs);
        return Medians.Of(magnitudes);
    }
}
