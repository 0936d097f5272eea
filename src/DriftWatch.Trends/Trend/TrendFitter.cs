using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Trend;

/// <summary>
/// Fits the line of a segment: weights from each point's random uncertainty, a biweight M-estimate started from a
/// Theil-Sen line, and the scatter of the residuals pooled with the budget's own statement.
/// </summary>
public static class TrendFitter
{
    /// <summary>With fewer points none can be told to be an outlier: plain weighted least squares.</summary>
    private const int FewestForRobust = 6;

    /// <summary>
    /// Degrees of freedom granted to the uncertainty budget: it is taken to be right within some 35 %
    /// (JCGM 100:2008, G.4.2: nu = 1/2 (relative uncertainty)^-2).
    /// </summary>
    private const double BudgetDegreesOfFreedom = 4;

    /// <summary>Up to this number of points the starting line looks at every pair; beyond, at pairs some way apart.</summary>
    private const int MostForAllPairs = 64;

    /// <summary>Fits the points of one segment.</summary>
    /// <param name="points">Accepted windows of one segment in order of time; at least 2, not all at one instant.</param>
    /// <param name="allowedLossPaPerSecond">Scale on which the sequential interval should be sharp, Pa/s; above 0.</param>
    /// <param name="falseAlarmProbability">Probability with which the sequential interval may ever miss the slope; above 0, below 1.</param>
    /// <returns>The fit.</returns>
    /// <exception cref="ArgumentException">Fewer than 2 points, or all at one instant.</exception>
    public static TrendFit Fit(IReadOnlyList<PrechargeWindow> points, double allowedLossPaPerSecond, double falseAlarmProbability)
    {
        if (points.Count < 2 || points[^1].Middle == points[0].Middle)
        {
            throw new ArgumentException("A trend needs at least two points at different instants.", nameof(points));
        }

        int count = points.Count;
        DateTimeOffset start = points[0].Middle;
        double[] seconds = new double[count];
        double[] values = new double[count];
        double[] uncertainties = new double[count];
        double shared = 0;
        for (int i = 0; i < count; i++)
        {
            seconds[i] = (points[i].Middle - start).TotalSeconds;
            values[i] = points[i].PrechargePa;
            uncertainties[i] = points[i].RandomUncertaintyPa;
            shared = Math.Max(shared, points[i].SharedUncertaintyPa);
        }

        WeightedLine line = Robust(seconds, values, uncertainties, out double scatter);
        double correlation = SerialCorrelation(line, seconds, values, uncertainties);
        double inflation = Math.Sqrt((1 + correlation) / (1 - correlation));
        int residualFreedom = count - 2;
        double pooled = Pooled(scatter, residualFreedom);
        double freedom = BudgetDegreesOfFreedom + residualFreedom;
        double slopeUncertainty = pooled * inflation / Math.Sqrt(line.SquareSum);
        double sequentialHalf = SequentialInterval.HalfWidth(
            Math.Max(scatter, 0.5) * inflation, line.SquareSum, residualFreedom, allowedLossPaPerSecond, falseAlarmProbability);
        return new TrendFit
        {
            Origin = start + TimeSpan.FromSeconds(line.MeanSeconds),
            LevelPa = line.Level,
            SlopePaPerSecond = line.Slope,
            LevelRandomUncertaintyPa = pooled * inflation / Math.Sqrt(line.WeightSum),
            SharedUncertaintyPa = shared,
            SlopeUncertaintyPaPerSecond = slopeUncertainty,
            CoverageFactor95 = CoverageFactor.Of95(freedom),
            PointCount = count,
            DegreesOfFreedom = freedom,
            FirstPoint = points[0].Middle,
            LastPoint = points[^1].Middle,
            SequentialSlopeLowPaPerSecond = line.Slope - sequentialHalf,
            SequentialSlopeHighPaPerSecond = line.Slope + sequentialHalf,
        };
    }

    /// <summary>Scatter pooled with the budget's own statement, which is 1.</summary>
    private static double Pooled(double scatter, int freedom) => Math.Sqrt(
        (BudgetDegreesOfFreedom + (freedom * scatter * scatter)) / (BudgetDegreesOfFreedom + freedom));

    /// <summary>The robust line and the scatter of its residuals in units of the points' uncertainties.</summary>
    private static WeightedLine Robust(double[] seconds, double[] values, double[] uncertainties, out double scatter)
    {
        int count = seconds.Length;
        double[] weights = Array.ConvertAll(uncertainties, u => 1 / (u * u));
        WeightedLine plain = WeightedLine.Fit(seconds, values, weights, weights);
        double[] residuals = new double[count];
        if (count < FewestForRobust)
        {
            plain.Residuals(seconds, values, uncertainties, residuals);
            scatter = count == 2 ? 0 : Math.Sqrt(SumOfSquares(residuals) / (count - 2));
            return plain;
        }

        WeightedLine line = StartingLine(seconds, values, plain);
        line.Residuals(seconds, values, uncertainties, residuals);

        // 1.4826 makes the median absolute deviation consistent on normal data. Of a few points it can be small by chance,
        // which would cast out good points: the budget steadies it.
        double deviation = 1.4826 * MedianOfMagnitudes(residuals) * count / (count - 2.0);
        double scale = Pooled(deviation, count - 2);
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

        scatter = EffectiveScatter(residuals, scale);
        return line;
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

    private static WeightedLine StartingLine(double[] seconds, double[] values, WeightedLine plain)
    {
        int count = seconds.Length;
        List<double> slopes = [];
        if (count <= MostForAllPairs)
        {
            for (int i = 0; i < count; i++)
            {
                AddSlopes(seconds, values, slopes, i, i + 1, count);
            }
        }
        else
        {
            // Far pairs carry most of what is known of the slope (Theil's incomplete method, over several distances).
            for (int distance = count / 3; distance < count; distance += Math.Max(1, count / 24))
            {
                for (int i = 0; i + distance < count; i++)
                {
                    AddSlopes(seconds, values, slopes, i, i + distance, i + distance + 1);
                }
            }
        }

        double slope = Median(slopes);
        double level = Median([.. seconds.Select((second, i) => values[i] - (slope * (second - plain.MeanSeconds)))]);
        return plain with { Slope = slope, Level = level };
    }

    private static void AddSlopes(double[] seconds, double[] values, List<double> slopes, int from, int first, int end)
    {
        for (int j = first; j < end; j++)
        {
            if (seconds[j] > seconds[from])
            {
                slopes.Add((values[j] - values[from]) / (seconds[j] - seconds[from]));
            }
        }
    }

    /// <summary>
    /// Correlation of neighbouring residuals, 0 unless it stands out from chance: a slow error (sensor placement through
    /// the seasons) makes many points worth fewer.
    /// </summary>
    private static double SerialCorrelation(WeightedLine line, double[] seconds, double[] values, double[] uncertainties)
    {
        int count = seconds.Length;
        if (count < 2 * FewestForRobust)
        {
            return 0;
        }

        double[] residuals = new double[count];
        line.Residuals(seconds, values, uncertainties, residuals);
        double limit = 3 * 1.4826 * MedianOfMagnitudes(residuals);
        double products = 0, squares = 0;
        double previous = 0;
        foreach (double residual in residuals)
        {
            double bounded = Math.Clamp(residual, -limit, limit);
            products += bounded * previous;
            squares += bounded * bounded;
            previous = bounded;
        }

        double correlation = squares > 0 ? products / squares : 0;
        return correlation > 1.645 / Math.Sqrt(count) ? Math.Min(correlation, 0.95) : 0;
    }

    private static double SumOfSquares(double[] values) => values.Sum(value => value * value);

    private static double MedianOfMagnitudes(double[] values) => Median([.. values.Select(Math.Abs)]);

    private static double Median(List<double> values)
    {
        values.Sort();
        int middle = values.Count / 2;
        return values.Count % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
    }
}
