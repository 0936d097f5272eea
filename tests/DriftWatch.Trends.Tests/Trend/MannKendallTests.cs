using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Trend;

public class MannKendallTests
{
    /// <summary>
    /// Worked by hand in a course of the College of the Holy Cross (mathcs.holycross.edu/~little/Montserrat/MannKendallByHand.txt): 91 pairs, 72 up,
    /// 18 down, one tie; S = 54 and Z = 2.9058.
    /// </summary>
    [Fact]
    public void The_example_worked_by_hand_is_met()
    {
        double[] values = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7];
        Assert.Equal(54, MannKendall.Score(values));
        Assert.Equal(2.9058, MannKendall.Z(values), 5e-5);
    }

    /// <summary>
    /// Sodium in a well as in the Theil-Sen example of the Unified Guidance (US EPA 2009, example 17-7; data from memory). Second route: of the 45
    /// pairs 35 rise and 10 fall, counted from the rows.
    /// </summary>
    [Fact]
    public void The_pairs_are_counted_as_by_hand()
    {
        double[] ppm = [56, 53, 51, 55, 52, 60, 62, 59, 61, 63];
        Assert.Equal(35 - 10, MannKendall.Score(ppm));
        Assert.Equal(24 / Math.Sqrt(125), MannKendall.Z(ppm), 1e-12);
    }

    /// <summary>All orders of five values without a tie: mean 0, variance 5 x 4 x 15 / 18 = 16.67 (Kendall 1975, from memory), found by counting.</summary>
    [Fact]
    public void The_variance_is_that_of_all_orders()
    {
        int[] scores = [.. Orders([1, 2, 3, 4, 5]).Select(order => MannKendall.Score(order))];
        Assert.Equal(120, scores.Length);
        Assert.Equal(0, scores.Sum());
        double deviation = Math.Sqrt(scores.Average(score => (double)score * score));
        Assert.Equal(9 / deviation, MannKendall.Z([1, 2, 3, 4, 5]), 1e-12);
        Assert.Equal(0, MannKendall.Z([2, 2, 2, 2, 2]));
    }

    private static IEnumerable<double[]> Orders(double[] values) => values.Length < 2
        ? [values]
        : values.SelectMany((first, i) => Orders([.. values[..i], .. values[(i + 1)..]]).Select(rest => (double[])[first, .. rest]));
}
