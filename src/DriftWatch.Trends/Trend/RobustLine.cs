namespace DriftWatch.Trends.Trend;

/// <summary>
/// A robust straight line through entries, and what its residuals say of its errors. The estimate is an M-estimate in the
/// manner of Yohai (Ann. Statist. 15 (1987) 642): a start that gross errors cannot carry away, a scale taken from it and held, then
/// Tukey's biweight, which gives back the efficiency that the start lacks. The start is Theil-Sen's line (breakdown 29 %); of few entries
/// it is the best of the lines through two of them, with a scale between the budget's and theirs.
/// </summary>
/// <param name="Line">The line.</param>
/// <param name="Scatter">Scatter of the residuals in units of the entries' uncertainties.</param>
/// <param name="Inflation">Factor on the line's standard errors for the correlation of neighbouring residuals, 1 or more.</param>
/// <param name="Entries">Number of entries.</param>
/// <param name="Freedom">Degrees of freedom of the scatter: entries that were not cast out, less two.</param>
/// <param name="Discrepancy">Robust sum of squared residuals, in units of the entries' uncertainties.</param>
internal readonly record struct RobustLine(WeightedLine Line, double Scatter, double Inflation, int Entries, int Freedom, double Discrepancy)
{
    /// <summary>With fewer entries none can be told to be an outlier: plain weighted least squares.</summary>
    private const int FewestForRobust = 4;

    /// <summary>Up to this number of entries all lines through two of them are tried as a start.</summary>
    private const int MostForPairs = 12;

    /// <summary>Efficiency of the least median of squares, in whose worth its scale is pooled with the budget's (Rousseeuw and Leroy, Robust Regression, 1987, chapter 4).</summary>
    private const double LeastMedianEfficiency = 0.37;

    /// <summary>The start is chosen with a smaller scale than the estimate goes on with: two gross errors that agree weigh less (by trial).</summary>
    private const double StartStrictness = 0.7;

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

            return new RobustLine(line, count == 2 ? 0 : Math.Sqrt(squares / (count - 2)), 1, count, count - 2, squares);
        }

        (line, double scale) = count <= MostForPairs
            ? BestOfPairs(seconds, values, uncertainties, line)
            : FromTheilSen(seconds, values, uncertainties, line);
        line.Residuals(seconds, values, uncertainties, residuals);
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

        // What was cast out adds nothing to what is known of the line.
        double discrepancy = RobustSquares(residuals, scale);
        double[] kept = [.. residuals.Where((_, i) => robustWeights[i] > 0)];
        if (kept.Length < count)
        {
            line = WeightedLine.Fit(seconds, values, robustWeights, [.. weights.Select((weight, i) => robustWeights[i] > 0 ? weight : 0)]);
        }

        double correlation = SerialCorrelation(kept);
        return new RobustLine(
            line, EffectiveScatter(kept, scale), Math.Sqrt((1 + correlation) / (1 - correlation)), count, kept.Length - 2, discrepancy);
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

    private static (WeightedLine Line, double Scale) FromTheilSen(double[] seconds, double[] values, double[] uncertainties, WeightedLine plain)
    {
        int count = seconds.Length;
        double slope = TheilSen.Slope(seconds, values);
        double[] levels = new double[count];
        for (int i = 0; i < count; i++)
        {
            levels[i] = values[i] - (slope * (seconds[i] - plain.MeanSeconds));
        }

        WeightedLine line = plain with { Slope = slope, Level = Medians.Of(levels) };
        double[] residuals = new double[count];
        line.Residuals(seconds, values, uncertainties, residuals);

        // Of a few entries the median deviation can be small by chance, which would cast out good ones: the budget steadies it.
        double deviation = Medians.ConsistentDeviation * MedianOfMagnitudes(residuals) * count / (count - 2.0);
        return (line, TrendFitter.Pooled(deviation, count - 2));
    }

    /// <summary>
    /// The scale by the least median of squares (Rousseeuw, J. Am. Stat. Assoc. 79 (1984) 871) with its small-sample factor, pooled with the
    /// budget's; and with it the line that the biweight likes best. Half of the entries but one may be anything.
    /// </summary>
    private static (WeightedLine Line, double Scale) BestOfPairs(double[] seconds, double[] values, double[] uncertainties, WeightedLine plain)
    {
        int count = seconds.Length;
        double[] magnitudes = new double[count];
        double least = double.PositiveInfinity;
        List<WeightedLine> lines = [plain];
        for (int i = 0; i < count; i++)
        {
            for (int j = i + 1; j < count; j++)
            {
                if (seconds[j] > seconds[i])
                {
                    double slope = (values[j] - values[i]) / (seconds[j] - seconds[i]);
                    lines.Add(plain with { Slope = slope, Level = values[i] + (slope * (plain.MeanSeconds - seconds[i])) });
                }
            }
        }

        foreach (WeightedLine line in lines)
        {
            line.Residuals(seconds, values, uncertainties, magnitudes);
            for (int i = 0; i < count; i++)
            {
                magnitudes[i] = Math.Abs(magnitudes[i]);
            }

            magnitudes.AsSpan().Sort();
            least = Math.Min(least, magnitudes[(count + 1) / 2]);
        }

        double freedom = count - 2;
        double scale = TrendFitter.Pooled(
            Medians.ConsistentDeviation * (1 + (5 / freedom)) * least, LeastMedianEfficiency * freedom);
        WeightedLine best = plain;
        double bestSquares = double.PositiveInfinity;
        foreach (WeightedLine line in lines)
        {
            line.Residuals(seconds, values, uncertainties, magnitudes);
            double squares = RobustSquares(magnitudes, StartStrictness * scale);
            if (squares < bestSquares)
            {
                (best, bestSquares) = (line, squares);
            }
        }

        return (best, scale);
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

        double limit = 3 * Medians.ConsistentDeviation * MedianOfMagnitudes(residuals);
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
