namespace DriftWatch.Trends.Trend;

/// <summary>
/// Mann's rank test against a trend (Mann, Econometrica 13 (1945) 245; Kendall, Rank Correlation Methods, 1975): it asks only which of two
/// values is the greater, so a gross error counts no more than any other.
/// </summary>
internal static class MannKendall
{
    /// <summary>Pairs that rise less pairs that fall.</summary>
    /// <param name="values">Values in order of time.</param>
    public static int Score(ReadOnlySpan<double> values)
    {
        int score = 0;
        for (int i = 0; i < values.Length; i++)
        {
            for (int j = i + 1; j < values.Length; j++)
            {
                score += Math.Sign(values[j] - values[i]);
            }
        }

        return score;
    }

    /// <summary>
    /// The score in its standard deviations, one off for continuity and equal values allowed for: nearly normal from ten values on where there is no trend.
    /// </summary>
    /// <param name="values">Values in order of time.</param>
    /// <returns>Positive for a rise; 0 when all values are equal.</returns>
    public static double Z(ReadOnlySpan<double> values)
    {
        int score = Score(values);
        double variance = Part(values.Length);
        double[] sorted = values.ToArray();
        Array.Sort(sorted);
        for (int from = 0; from < sorted.Length;)
        {
            int equal = 1;
            while (from + equal < sorted.Length && sorted[from + equal] == sorted[from])
            {
                equal++;
            }

            variance -= Part(equal);
            from += equal;
        }

        return variance > 0 ? (score - Math.Sign(score)) / Math.Sqrt(variance) : 0;
    }

    /// <summary>Variance of the score of so many values, and what so many equal ones take off it.</summary>
    private static double Part(double count) => count * (count - 1) * ((2 * count) + 5) / 18;
}
