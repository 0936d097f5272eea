using CsCheck;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Trend;

public class LineSumsTests
{
    /// <summary>Second route: the weighted line of all entries at once, and its residuals.</summary>
    [Fact]
    public void Taken_in_one_by_one_the_sums_are_those_of_the_whole() =>
        Gen.Select(Gen.Double[0, 1e8], Gen.Double[90e5, 110e5], Gen.Double[1e3, 1e5]).Array[3, 60].Sample(points =>
        {
            double[] seconds = [.. points.Select(point => point.Item1)];
            double[] values = [.. points.Select(point => point.Item2)];
            double[] uncertainties = [.. points.Select(point => point.Item3)];
            double[] weights = [.. uncertainties.Select(u => 1 / (u * u))];
            LineSums sums = default;
            for (int i = 0; i < points.Length; i++)
            {
                sums.Add(new TrendEntry(seconds[i], values[i], weights[i], 1));
            }

            WeightedLine line = WeightedLine.Fit(seconds, values, weights, weights);
            double[] residuals = new double[points.Length];
            line.Residuals(seconds, values, uncertainties, residuals);
            double squares = residuals.Sum(residual => residual * residual);
            Assert.Equal(line.SquareSum, sums.TimeSquares, 1e-9 * line.SquareSum);
            Assert.Equal(line.Slope, sums.Slope, 1e-7 / Math.Sqrt(line.SquareSum));
            Assert.Equal(squares, sums.ResidualSquares, 1e-6 * (squares + 1));
        });
}
