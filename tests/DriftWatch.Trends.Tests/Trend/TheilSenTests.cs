using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Tests.Trend;

public class TheilSenTests
{
    /// <summary>
    /// Sodium in a well, ppm, 1989 to 1996: the worked example of the Theil-Sen trend line in US EPA, Statistical Analysis of
    /// Groundwater Monitoring Data at RCRA Facilities, Unified Guidance (2009), example 17-7, which gives 1.33 ppm a year.
    /// Data and result from memory; they agree with each other.
    /// </summary>
    [Fact]
    public void The_worked_example_of_the_unified_guidance_is_met()
    {
        double[] years = [89.6, 90.1, 90.8, 91.1, 92.1, 93.1, 94.1, 95.6, 96.1, 96.3];
        double[] ppm = [56, 53, 51, 55, 52, 60, 62, 59, 61, 63];
        Assert.Equal(1.33, TheilSen.Slope(years, ppm), 0.005);
    }

    [Fact]
    public void Pairs_some_way_apart_tell_the_slope_of_a_long_series()
    {
        double[] seconds = [.. Enumerable.Range(0, 500).Select(i => (double)i)];
        double[] values = [.. seconds.Select(second => second % 4 == 0 ? 1e6 * second : 3 - (2 * second))];
        Assert.Equal(-2, TheilSen.Slope(seconds, values), 1e-9);
    }
}
