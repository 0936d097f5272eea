namespace DriftWatch.Trends.Windows;

/// <summary>
/// Reads from one rest how fast the gas comes to its temperature and how far the sensor follows behind. Both need a gas that
/// was moved from its temperature, as the expansion at a release does; a rest without that tells nothing.
/// </summary>
internal static class ThermalEstimator
{
    private const int FewestBlocks = 7;

    /// <summary>Later than this, day and night move the temperature more than the settling does.</summary>
    private const double LongestS = 6 * 3600;

    private const double ShortestTimeS = 60;
    private const double LongestTimeS = 3 * 3600;

    /// <summary>Steps of the search over the time constant, by some 9 % each; the parabola between them finds it to well below 1 %.</summary>
    private const int Steps = 61;

    /// <summary>The temperature must come this far, K, and this many times the scatter about the curve.</summary>
    private const double LeastSettlingK = 2;
    private const double LeastSettlingInScatter = 20;

    /// <summary>Slower than this at its start, K/s (6 K an hour), it may be a sunrise.</summary>
    private const double LeastRateKPerS = 0.1 / 60;

    /// <summary>A rest that tells the lag no better than this is left out, s.</summary>
    private const double LagUncertaintyS = 90;

    private const double LongestLagS = 1800;

    /// <summary>
    /// Time constant of the settling, by the curve T = a + b exp(-t / time) + c t; c is for the slow movement of the shell.
    /// </summary>
    /// <returns>s; null when the rest does not show it.</returns>
    public static double? SettlingS(RestCurve curve)
    {
        (int from, int count) = Stretch(curve);
        if (count < FewestBlocks)
        {
            return null;
        }

        double span = curve.Seconds[from + count - 1] - curve.Seconds[from];
        double spacing = span / (count - 1);
        Span<double> t = stackalloc double[count], y = stackalloc double[count], e = stackalloc double[count];
        for (int i = 0; i < count; i++)
        {
            t[i] = curve.Seconds[from + i] - curve.Seconds[from];
            y[i] = curve.Kelvins[from + i];
        }

        TakeOutLine(t, y);
        Span<double> misfits = stackalloc double[Steps];
        int best = 0;
        for (int k = 0; k < Steps; k++)
        {
            misfits[k] = Misfit(t, y, e, TimeAt(k), out _);
            best = misfits[k] < misfits[best] ? k : best;
        }

        if (best is 0 or Steps - 1)
        {
            return null;
        }

        double bend = misfits[best - 1] - (2 * misfits[best]) + misfits[best + 1];
        double time = TimeAt(best + (bend > 0 ? (misfits[best - 1] - misfits[best + 1]) / (2 * bend) : 0));
        double scatter = Math.Sqrt(Misfit(t, y, e, time, out double amplitude) / (count - 4));
        bool shown = Math.Abs(amplitude) >= Math.Max(LeastSettlingK, LeastSettlingInScatter * scatter)
            && Math.Abs(amplitude) >= LeastRateKPerS * time
            && span >= 2 * time && time >= spacing;
        return shown ? time : null;
    }

    /// <summary>
    /// Lag of the sensor: how the normalised pressure, as a temperature, goes with the rate of the temperature. The middle of two
    /// neighbours goes against their difference, whose noise is not correlated with it.
    /// </summary>
    /// <param name="curve">The rest with no lag taken out.</param>
    /// <param name="mayHoldFluid">Whether fluid that seeps out could make the pressure sink: a slope in time is then taken out.</param>
    /// <returns>s; null when the rest does not show it.</returns>
    public static double? LagS(RestCurve curve, bool mayHoldFluid)
    {
        (int from, int count) = Stretch(curve);
        int pairs = count - 1;
        if (pairs < FewestBlocks)
        {
            return null;
        }

        Span<double> t = stackalloc double[pairs], x = stackalloc double[pairs], y = stackalloc double[pairs];
        for (int i = 0; i < pairs; i++)
        {
            int at = from + i;
            t[i] = (curve.Seconds[at] + curve.Seconds[at + 1]) / 2;
            x[i] = curve.Rate(at, at + 1);
            y[i] = (curve.Pascals[at] + curve.Pascals[at + 1]) / 2 / curve.PerKelvinPa;
        }

        if (mayHoldFluid)
        {
            TakeOutLine(t, x);
            TakeOutLine(t, y);
        }
        else
        {
            TakeOutMean(x);
            TakeOutMean(y);
        }

        double squares = Dot(x, x);
        if (!(squares > 0))
        {
            return null;
        }

        double lag = Dot(x, y) / squares;
        double left = Math.Max(0, Dot(y, y) - (lag * lag * squares));
        double uncertainty = Math.Sqrt(left / (pairs - (mayHoldFluid ? 3 : 2)) / squares);
        return uncertainty <= LagUncertaintyS && lag >= -2 * LagUncertaintyS && lag <= LongestLagS ? lag : null;
    }

    private static (int From, int Count) Stretch(RestCurve curve)
    {
        int from = curve.AfterTurn();
        int to = from;
        while (to + 1 < curve.Count && curve.Seconds[to + 1] - curve.Seconds[from] <= LongestS)
        {
            to++;
        }

        return (from, to - from + 1);
    }

    private static double TimeAt(double step) => ShortestTimeS * Math.Pow(LongestTimeS / ShortestTimeS, step / (Steps - 1));

    /// <summary>What is left of values (with their line taken out) beside an exponential of that time constant.</summary>
    private static double Misfit(ReadOnlySpan<double> t, ReadOnlySpan<double> y, Span<double> e, double timeS, out double amplitude)
    {
        for (int i = 0; i < t.Length; i++)
        {
            e[i] = Math.Exp(-t[i] / timeS);
        }

        TakeOutLine(t, e);
        double squares = Dot(e, e);
        double product = Dot(e, y);
        amplitude = squares > 0 ? product / squares : 0;
        return Math.Max(0, Dot(y, y) - (amplitude * product));
    }

    /// <summary>Takes out of values the straight line through them.</summary>
    internal static void TakeOutLine(ReadOnlySpan<double> t, Span<double> values)
    {
        double meanTime = Mean(t);
        TakeOutMean(values);
        double squares = 0, products = 0;
        for (int i = 0; i < t.Length; i++)
        {
            squares += (t[i] - meanTime) * (t[i] - meanTime);
            products += (t[i] - meanTime) * values[i];
        }

        double slope = squares > 0 ? products / squares : 0;
        for (int i = 0; i < t.Length; i++)
        {
            values[i] -= slope * (t[i] - meanTime);
        }
    }

    private static void TakeOutMean(Span<double> values)
    {
        double mean = Mean(values);
        foreach (ref double value in values)
        {
            value -= mean;
        }
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (double value in values)
        {
            sum += value;
        }

        return sum / values.Length;
    }

    private static double Dot(ReadOnlySpan<double> one, ReadOnlySpan<double> other)
    {
        double sum = 0;
        for (int i = 0; i < one.Length; i++)
        {
            sum += one[i] * other[i];
        }

        return sum;
    }
}
