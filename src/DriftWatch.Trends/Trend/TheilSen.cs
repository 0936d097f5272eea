using System.Runtime.InteropServices;

namespace DriftWatch.Trends.Trend;

/// <summary>
/// The median of the slopes of pairs of points (Theil, Proc. Kon. Ned. Akad. Wetensch. A 53 (1950) 386; Sen, J. Am. Stat. Assoc. 63
/// (1968) 1379): up to 29 % of the points may be anything.
/// </summary>
internal static class TheilSen
{
    /// <summary>Up to this number of points every pair is looked at; beyond, pairs some way apart.</summary>
    private const int MostForAllPairs = 64;

    /// <summary>The median slope.</summary>
    /// <param name="seconds">Instants, s, ascending; at least two different ones.</param>
    /// <param name="values">Values, same length.</param>
    public static double Slope(double[] seconds, double[] values)
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

        return Medians.Of(CollectionsMarshal.AsSpan(slopes));
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
}
