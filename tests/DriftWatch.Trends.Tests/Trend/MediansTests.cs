using CsCheck;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Trend;

public class MediansTests
{
    /// <summary>Second route: a full sort. Few distinct values make ties, many none.</summary>
    [Fact]
    public void The_median_is_the_middle_of_the_sorted_values() =>
        Gen.OneOf(Gen.Int[0, 5].Select(i => (double)i), Gen.Double[-1e6, 1e6]).Array[1, 300].Sample(values =>
        {
            double[] sorted = [.. values.Order()];
            double expected = (sorted[(values.Length - 1) / 2] + sorted[values.Length / 2]) / 2;
            return Medians.Of([.. values]) == expected;
        });
}
