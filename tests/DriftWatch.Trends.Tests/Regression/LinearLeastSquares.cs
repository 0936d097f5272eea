using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Factorization;

namespace DriftWatch.Trends.Tests.Regression;

/// <summary>
/// What the program's fits are held against, proven itself on the certified sets of NIST: weighted linear least squares by orthogonal factors (QR) of the scaled design. Columns are brought to length one first,
/// so that years beside populations cost no digits, and the solution is refined once with its own residuals.
/// </summary>
internal sealed class LinearLeastSquares
{
    private const double MachineEpsilon = 2.220446049250313e-16;

    private readonly Matrix<double> _covariance;

    private LinearLeastSquares(double[] coefficients, Matrix<double> covariance, double residualDeviation, int freedom)
    {
        Coefficients = coefficients;
        _covariance = covariance;
        ResidualStandardDeviation = residualDeviation;
        DegreesOfFreedom = freedom;
    }

    /// <summary>Coefficients, one for each column of the design; units of the values over those of the column.</summary>
    public IReadOnlyList<double> Coefficients { get; }

    /// <summary>
    /// Standard deviation of an observation of weight one, from the residuals; NaN without degrees of freedom. Units of the values.
    /// </summary>
    public double ResidualStandardDeviation { get; }

    /// <summary>Observations of weight above zero less coefficients; 0 or more.</summary>
    public int DegreesOfFreedom { get; }

    /// <summary>Covariance of two coefficients by the residual scatter; NaN without degrees of freedom.</summary>
    /// <param name="row">Column of the design, from 0.</param>
    /// <param name="column">Column of the design, from 0.</param>
    public double Covariance(int row, int column) => _covariance[row, column] * ResidualStandardDeviation * ResidualStandardDeviation;

    /// <summary>Standard deviation of a coefficient by the residual scatter; NaN without degrees of freedom.</summary>
    /// <param name="column">Column of the design, from 0.</param>
    public double StandardDeviation(int column) => ResidualStandardDeviation * Math.Sqrt(_covariance[column, column]);

    /// <summary>Fits values = design x coefficients.</summary>
    /// <param name="design">One row an observation, one column a coefficient; all rows of one length, at least 1; finite.</param>
    /// <param name="values">Observed values, one a row; finite.</param>
    /// <param name="weights">Weights, one a row: 1 over the variance of the value; 0 or above, finite. Null for equal weights of 1.</param>
    /// <returns>The fit.</returns>
    /// <exception cref="ArgumentException">Lengths differ, a weight or number is not allowed, or the observations do not determine all coefficients.</exception>
    public static LinearLeastSquares Fit(
        IReadOnlyList<IReadOnlyList<double>> design, IReadOnlyList<double> values, IReadOnlyList<double>? weights = null)
    {
        int columns = design.Count > 0 ? design[0].Count : 0;
        int used = Check(design, values, weights, columns);
        double[] rootWeights = [.. values.Select((_, i) => weights is null ? 1 : Math.Sqrt(weights[i]))];
        double[] scales = new double[columns];
        for (int j = 0; j < columns; j++)
        {
            for (int i = 0; i < values.Count; i++)
            {
                scales[j] = double.Hypot(scales[j], rootWeights[i] * design[i][j]);
            }
        }

        Matrix<double> scaled = Matrix<double>.Build.Dense(
            values.Count, columns, (i, j) => scales[j] > 0 ? rootWeights[i] * design[i][j] / scales[j] : 0);
        QR<double> factors = scaled.QR(QRMethod.Thin);
        if (DependentColumn(factors.R, values.Count) is { } dependent)
        {
            throw new ArgumentException(
                $"Column {dependent} of the design is made up of the columns before it: leave one of them out.", nameof(design));
        }

        double[] coefficients = new double[columns];
        double[] residuals = [.. values];
        for (int pass = 0; pass < 2; pass++)
        {
            Vector<double> step = factors.R.Solve(
                factors.Q.TransposeThisAndMultiply(Vector<double>.Build.Dense(values.Count, i => rootWeights[i] * residuals[i])));
            for (int j = 0; j < columns; j++)
            {
                coefficients[j] += step[j] / scales[j];
            }

            for (int i = 0; i < values.Count; i++)
            {
                residuals[i] = Residual(values[i], design[i], coefficients);
            }
        }

        double sum = 0;
        for (int i = 0; i < values.Count; i++)
        {
            double weighted = rootWeights[i] * residuals[i];
            sum += weighted * weighted;
        }

        Matrix<double> inverse = factors.R.Solve(Matrix<double>.Build.DenseIdentity(columns));
        Matrix<double> covariance = inverse.TransposeAndMultiply(inverse);
        covariance.MapIndexedInplace((i, j, value) => value / scales[i] / scales[j]);
        int freedom = used - columns;
        return new LinearLeastSquares(coefficients, covariance, freedom > 0 ? Math.Sqrt(sum / freedom) : double.NaN, freedom);
    }

    /// <summary>Value less prediction, summed as if in twice the precision: refinement lives on the digits that cancel.</summary>
    private static double Residual(double value, IReadOnlyList<double> row, double[] coefficients)
    {
        double high = value, low = 0;
        for (int j = 0; j < coefficients.Length; j++)
        {
            double product = -row[j] * coefficients[j];
            low += Math.FusedMultiplyAdd(-row[j], coefficients[j], -product);
            double sum = high + product;
            double added = sum - high;
            low += (high - (sum - added)) + (product - added);
            high = sum;
        }

        return high + low;
    }

    private static int Check(
        IReadOnlyList<IReadOnlyList<double>> design, IReadOnlyList<double> values, IReadOnlyList<double>? weights, int columns)
    {
        if (design.Count != values.Count || (weights is not null && weights.Count != values.Count))
        {
            throw new ArgumentException(
                $"{design.Count} rows of the design, {values.Count} values, {weights?.Count ?? values.Count} weights: give one of each for each observation.",
                nameof(values));
        }

        int used = 0;
        for (int i = 0; i < values.Count; i++)
        {
            double weight = weights?[i] ?? 1;
            if (!(weight >= 0 && double.IsFinite(weight)))
            {
                throw new ArgumentException($"Weight {i} is {weight}: it must be finite and not negative.", nameof(weights));
            }

            if (design[i].Count != columns || !design[i].All(double.IsFinite) || !double.IsFinite(values[i]))
            {
                throw new ArgumentException(
                    $"Observation {i}: it needs {columns} finite numbers in its row of the design and a finite value.", nameof(design));
            }

            used += weight > 0 ? 1 : 0;
        }

        return columns > 0 && used >= columns
            ? used
            : throw new ArgumentException(
                $"{used} observations of weight above zero cannot determine {columns} coefficients: at least one of each, and no fewer observations.",
                nameof(design));
    }

    /// <summary>First column of which nothing is left beside those before it (columns have length one); null for none.</summary>
    private static int? DependentColumn(Matrix<double> r, int rows)
    {
        for (int j = 0; j < r.ColumnCount; j++)
        {
            if (!(Math.Abs(r[j, j]) > rows * MachineEpsilon))
            {
                return j;
            }
        }

        return null;
    }
}
