using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Trend;

public class CoverageFactorTests
{
    /// <summary>Student's t, two-sided 95 % (0.975 quantile) as in any printed table; from memory.</summary>
    [Theory]
    [InlineData(1, 12.706)]
    [InlineData(2, 4.303)]
    [InlineData(3, 3.182)]
    [InlineData(4, 2.776)]
    [InlineData(5, 2.571)]
    [InlineData(10, 2.228)]
    [InlineData(20, 2.086)]
    [InlineData(30, 2.042)]
    [InlineData(60, 2.000)]
    [InlineData(120, 1.980)]
    [InlineData(100_000, 1.960)]
    public void Printed_tables_agree(double freedom, double factor) =>
        Assert.Equal(factor, CoverageFactor.Of95(freedom), 0.00051);

    /// <summary>
    /// The distribution function at the factor must be 0.975. For whole degrees of freedom it is a finite trigonometric sum
    /// (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4).
    /// </summary>
    [Fact]
    public void The_closed_form_agrees_for_every_whole_number_of_degrees_of_freedom()
    {
        for (int freedom = 1; freedom <= 1000; freedom++)
        {
            Assert.Equal(0.975, Distribution(CoverageFactor.Of95(freedom), freedom), 1e-11);
        }
    }

    private static double Distribution(double t, int freedom)
    {
        double angle = Math.Atan(t / Math.Sqrt(freedom));
        double cosine = Math.Cos(angle);
        bool odd = freedom % 2 == 1;
        double term = odd ? cosine : 1;
        double sum = freedom == 1 ? 0 : term;
        for (int k = odd ? 3 : 2; k <= freedom - 2; k += 2)
        {
            term *= cosine * cosine * (k - 1) / k;
            sum += term;
        }

        return odd
            ? 0.5 + ((angle + (Math.Sin(angle) * sum)) / Math.PI)
            : 0.5 + (Math.Sin(angle) * sum / 2);
    }
}
