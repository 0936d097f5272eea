namespace DriftWatch.Trends.Trend;

/// <summary>Medians by selection: no full sort for a middle.</summary>
internal static class Medians
{
    /// <summary>Makes the median deviation of normal scatter its standard deviation.</summary>
    public const double ConsistentDeviation = 1.4826;

    /// <summary>Median of values, whose order it changes; at least one value, none NaN.</summary>
    public static double Of(Span<double> values)
    {
        int middle = values.Length / 2;
        if (values.Length <= 32)
        {
            values.Sort();
        }
        else
        {
            Select(values, middle);
        }

        if (values.Length % 2 == 1)
        {
            return values[middle];
        }

        double below = values[0];
        for (int i = 1; i < middle; i++)
        {
            below = Math.Max(below, values[i]);
        }

        return (below + values[middle]) / 2;
    }

    /// <summary>Puts the value of a rank in its place, smaller ones before it, greater ones after (Hoare, Comm. ACM 4 (1961) 321).</summary>
    private static void Select(Span<double> values, int rank)
    {
        int low = 0, high = values.Length - 1;
        while (low < high)
        {
            double pivot = MiddleOfThree(values[low], values[low + ((high - low) / 2)], values[high]);
            int i = low, j = high;
            while (i <= j)
            {
                while (values[i] < pivot)
                {
                    i++;
                }

                while (values[j] > pivot)
                {
                    j--;
                }

                if (i <= j)
                {
                    (values[i], values[j]) = (values[j], values[i]);
                    i++;
                    j--;
                }
            }

            if (rank <= j)
            {
                high = j;
            }
            else if (rank >= i)
            {
                low = i;
            }
            else
            {
                return;
            }
        }
    }

    private static double MiddleOfThree(double a, double b, double c) => Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));
}
