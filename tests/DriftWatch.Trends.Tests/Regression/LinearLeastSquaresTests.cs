using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Regression;

public class LinearLeastSquaresTests(ITestOutputHelper output)
{
    /// <summary>
    /// Digits asked for: 15 digits of arithmetic less the decimal logarithm of the design's condition (columns at length one),
    /// some 5 for Longley, 6 for a polynomial of the fifth degree, 10 for Filip. Certified values carry 15 digits.
    /// </summary>
    [Theory]
    [InlineData("Norris", 12)]
    [InlineData("Pontius", 11)]
    [InlineData("NoInt1", 13)]
    [InlineData("Longley", 10)]
    [InlineData("Filip", 6)]
    [InlineData("Wampler1", 9)]
    [InlineData("Wampler2", 9)]
    [InlineData("Wampler3", 9)]
    [InlineData("Wampler4", 8)]
    [InlineData("Wampler5", 6)]
    public void Certified_values_come_out(string name, double digits)
    {
        CertifiedSet set = Find(name);
        var fit = LinearLeastSquares.Fit(set.Design, set.Values);
        double leastCoefficient = 15, leastDeviation = 15;
        for (int i = 0; i < set.Coefficients.Length; i++)
        {
            leastCoefficient = Math.Min(leastCoefficient, Digits(fit.Coefficients[i], set.Coefficients[i]));
            leastDeviation = Math.Min(leastDeviation, Digits(fit.StandardDeviation(i), set.StandardDeviations[i]));
        }

        double residual = Digits(fit.ResidualStandardDeviation, set.ResidualStandardDeviation);
        output.WriteLine($"{name}: {leastCoefficient:0.0} digits of the coefficients, {leastDeviation:0.0} of their deviations, {residual:0.0} of the residual");
        Assert.Equal(set.Values.Length - set.Coefficients.Length, fit.DegreesOfFreedom);
        Assert.True(leastCoefficient >= digits, $"{leastCoefficient} digits of the coefficients");
        Assert.True(leastDeviation >= digits, $"{leastDeviation} digits of the deviations");
        Assert.True(residual >= digits, $"{residual} digits of the residual");
    }

    [Fact]
    public void The_straight_line_of_the_trend_gives_the_certified_values_too()
    {
        CertifiedSet norris = NistLinearSets.Norris;
        double[] x = [.. norris.Design.Select(row => row[1])];
        double[] equal = [.. x.Select(_ => 1.0)];
        var line = WeightedLine.Fit(x, norris.Values, equal, equal);
        Assert.True(Digits(line.Slope, norris.Coefficients[1]) >= 13);
        Assert.True(Digits(line.At(0), norris.Coefficients[0]) >= 12);

        double[] residuals = new double[x.Length];
        line.Residuals(x, norris.Values, equal, residuals);
        double deviation = Math.Sqrt(residuals.Sum(r => r * r) / (x.Length - 2));
        Assert.True(Digits(deviation, norris.ResidualStandardDeviation) >= 12);
        Assert.True(Digits(deviation / Math.Sqrt(line.SquareSum), norris.StandardDeviations[1]) >= 12);
    }

    /// <summary>An observation of weight 3 is the same as three equal ones of weight 1, but for the degrees of freedom.</summary>
    [Fact]
    public void A_weight_counts_like_that_many_observations()
    {
        double[][] once = [[1, 0], [1, 1], [1, 2], [1, 4]];
        double[] values = [2, 3.5, 3, 7];
        double[] weights = [3, 1, 2, 1];
        double[][] repeated = [once[0], once[0], once[0], once[1], once[2], once[2], once[3]];
        double[] repeatedValues = [2, 2, 2, 3.5, 3, 3, 7];
        var weighted = LinearLeastSquares.Fit(once, values, weights);
        var plain = LinearLeastSquares.Fit(repeated, repeatedValues);
        Assert.Equal(plain.Coefficients[0], weighted.Coefficients[0], 12);
        Assert.Equal(plain.Coefficients[1], weighted.Coefficients[1], 12);
        Assert.Equal(2, weighted.DegreesOfFreedom);
        Assert.Equal(
            plain.Covariance(0, 1) * plain.DegreesOfFreedom, weighted.Covariance(0, 1) * weighted.DegreesOfFreedom, 12);
    }

    [Fact]
    public void An_observation_without_weight_does_not_count()
    {
        var fit = LinearLeastSquares.Fit([[1, 0], [1, 1], [1, 2], [1, 3]], [1, 2, 3, 1000], [1, 1, 1, 0]);
        Assert.Equal(1, fit.DegreesOfFreedom);
        Assert.Equal(1, fit.Coefficients[1], 12);
    }

    [Fact]
    public void As_many_observations_as_coefficients_leave_no_scatter_to_speak_of()
    {
        var fit = LinearLeastSquares.Fit([[1, 0], [1, 2]], [1, 5]);
        Assert.Equal([1, 2], fit.Coefficients.Select(c => Math.Round(c, 12)));
        Assert.Equal(0, fit.DegreesOfFreedom);
        Assert.True(double.IsNaN(fit.ResidualStandardDeviation));
        Assert.True(double.IsNaN(fit.StandardDeviation(0)));
    }

    [Fact]
    public void What_cannot_be_fitted_is_refused_with_the_reason()
    {
        Assert.Contains("Column 1", Refused([[1, 2], [1, 2], [1, 2]], [1, 2, 3], null), StringComparison.Ordinal);
        Assert.Contains("cannot determine 2", Refused([[1, 2]], [1], null), StringComparison.Ordinal);
        Assert.Contains("cannot determine 0", Refused([], [], null), StringComparison.Ordinal);
        Assert.Contains("3 values", Refused([[1], [1]], [1, 2, 3], null), StringComparison.Ordinal);
        Assert.Contains("Weight 1", Refused([[1], [1]], [1, 2], [1, double.NaN]), StringComparison.Ordinal);
        Assert.Contains("Weight 0", Refused([[1], [1]], [1, 2], [-1, 1]), StringComparison.Ordinal);
        Assert.Contains("Observation 1", Refused([[1], [1]], [1, double.NaN], null), StringComparison.Ordinal);
        Assert.Contains("Observation 1", Refused([[1], [1, 2]], [1, 2], null), StringComparison.Ordinal);
    }

    private static string Refused(double[][] design, double[] values, double[]? weights) =>
        Assert.Throws<ArgumentException>(() => LinearLeastSquares.Fit(design, values, weights)).Message;

    private static CertifiedSet Find(string name) => name switch
    {
        "Norris" => NistLinearSets.Norris,
        "Pontius" => NistLinearSets.Pontius,
        "NoInt1" => NistLinearSets.NoInt1,
        "Longley" => NistLinearSets.Longley,
        "Filip" => NistLinearSets.Filip,
        "Wampler1" => NistLinearSets.Wampler1,
        "Wampler2" => NistLinearSets.Wampler2,
        "Wampler3" => NistLinearSets.Wampler3,
        "Wampler4" => NistLinearSets.Wampler4,
        _ => NistLinearSets.Wampler5,
    };

    /// <summary>Agreeing decimal digits (logarithm of the relative error; of the absolute one where zero is certified), at most 15.</summary>
    private static double Digits(double value, double certified)
    {
        double error = Math.Abs(value - certified) / (certified == 0 ? 1 : Math.Abs(certified));
        return error == 0 ? 15 : Math.Min(15, -Math.Log10(error));
    }
}
