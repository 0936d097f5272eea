using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Segments;

/// <summary>
/// What the next window should show if nothing but leakage happens: a short robust line (Theil-Sen) through the last
/// points of the segment, and the band around it in which a window counts as expected.
/// </summary>
internal readonly record struct Expectation(DateTimeOffset Last, double LevelPa, double SlopePaPerSecond, double SpanSeconds, double UncertaintyPa)
{
    /// <summary>Points looked back at: enough for a robust slope, few enough to follow a changing loss.</summary>
    public const int LookBack = 8;

    private const int FewestForSlope = 4;
    private const double BandInUncertainties = 4;

    /// <summary>Least half-width of the band, relative: placement and weather move honest windows this far.</summary>
    private const double LeastBand = 0.008;

    public static Expectation From(IReadOnlyList<PrechargeWindow> points)
    {
        int first = Math.Max(0, points.Count - LookBack);
        int count = points.Count - first;
        DateTimeOffset last = points[^1].Middle;
        Span<double> seconds = stackalloc double[LookBack];
        Span<double> values = stackalloc double[LookBack];
        double uncertainty = 0;
        for (int i = 0; i < count; i++)
        {
            seconds[i] = (points[first + i].Middle - last).TotalSeconds;
            values[i] = points[first + i].PrechargePa;
            uncertainty = Math.Max(uncertainty, points[first + i].RandomUncertaintyPa);
        }

        double slope = count >= FewestForSlope ? MedianSlope(seconds[..count], values[..count]) : 0;
        for (int i = 0; i < count; i++)
        {
            values[i] -= slope * seconds[i];
        }

        return new Expectation(last, Median(values[..count]), slope, -seconds[0], uncertainty);
    }

    /// <summary>Level expected at an instant; a slope seen over a short time is not carried further than twice that time.</summary>
    public double At(DateTimeOffset instant) =>
        LevelPa + (SlopePaPerSecond * Math.Min((instant - Last).TotalSeconds, 2 * SpanSeconds));

    /// <summary>Half-width of the band at a window.</summary>
    public double BandAt(PrechargeWindow window)
    {
        double ahead = Math.Max(0, (window.Middle - Last).TotalSeconds);
        double carried = Math.Abs(SlopePaPerSecond) * ahead / 2;
        return Band(UncertaintyPa, window, LevelPa) + carried;
    }

    /// <summary>Whether a window shows less than is expected, beyond the band.</summary>
    public bool LiesBelow(PrechargeWindow window) => window.PrechargePa < At(window.Middle) - BandAt(window);

    /// <summary>Half-width of the band between a level and a window.</summary>
    public static double Band(double uncertaintyPa, PrechargeWindow window, double levelPa) =>
        Math.Max(BandInUncertainties * double.Hypot(uncertaintyPa, window.RandomUncertaintyPa), LeastBand * levelPa);

    /// <summary>Whether two windows show the same precharge within the band.</summary>
    public static bool Agree(PrechargeWindow one, PrechargeWindow other) =>
        Math.Abs(one.PrechargePa - other.PrechargePa) <= Band(one.RandomUncertaintyPa, other, one.PrechargePa);

    private static double MedianSlope(ReadOnlySpan<double> seconds, ReadOnlySpan<double> values)
    {
        Span<double> slopes = stackalloc double[LookBack * (LookBack - 1) / 2];
        int count = 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            for (int j = i + 1; j < seconds.Length; j++)
            {
                slopes[count++] = (values[j] - values[i]) / (seconds[j] - seconds[i]);
            }
        }

        return Median(slopes[..count]);
    }

    private static double Median(ReadOnlySpan<double> values)
    {
        Span<double> sorted = stackalloc double[values.Length];
        values.CopyTo(sorted);
        sorted.Sort();
        int middle = sorted.Length / 2;
        return sorted.Length % 2 == 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
    }
}
