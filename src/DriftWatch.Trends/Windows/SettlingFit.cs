namespace DriftWatch.Trends.Windows;

/// <summary>The normalised pressure of a rest as p = a + b exp(-t / time), the time constant given: where it goes and how far it still is.</summary>
/// <param name="EquilibriumPa">a, Pa.</param>
/// <param name="EquilibriumUncertaintyPa">Standard uncertainty of a by the scatter of the readings, Pa.</param>
/// <param name="StartPa">b, at the start of the rest, Pa.</param>
/// <param name="StartUncertaintyPa">Standard uncertainty of b, Pa.</param>
/// <param name="ScatterPa">Standard deviation of a block about the curve, Pa.</param>
internal readonly record struct SettlingFit(
    double EquilibriumPa, double EquilibriumUncertaintyPa, double StartPa, double StartUncertaintyPa, double ScatterPa)
{
    private const double MostAlike = 0.6;

    /// <summary>Fits the blocks from one on; null with fewer than four or when they lie too close together to tell.</summary>
    /// <param name="curve">The rest.</param>
    /// <param name="from">First block.</param>
    /// <param name="timeS">Time constant, s.</param>
    /// <param name="noisePa">Noise of a block: the scatter counts at least as this, Pa.</param>
    public static SettlingFit? Of(RestCurve curve, int from, double timeS, double noisePa)
    {
        int count = curve.Count - from;
        if (count < 4)
        {
            return null;
        }

        double meanE = 0, meanP = 0;
        for (int i = from; i < curve.Count; i++)
        {
            meanE += Math.Exp(-curve.Seconds[i] / timeS) / count;
            meanP += curve.Pascals[i] / count;
        }

        double squares = 0, products = 0;
        for (int i = from; i < curve.Count; i++)
        {
            double e = Math.Exp(-curve.Seconds[i] / timeS) - meanE;
            squares += e * e;
            products += e * (curve.Pascals[i] - meanP);
        }

        if (!(squares > 1e-12 * count))
        {
            return null;
        }

        double b = products / squares;
        double a = meanP - (b * meanE);
        double left = 0, neighbours = 0, before = 0;
        for (int i = from; i < curve.Count; i++)
        {
            double off = curve.Pascals[i] - a - (b * Math.Exp(-curve.Seconds[i] / timeS));
            left += off * off;
            neighbours += off * before;
            before = off;
        }

        // Neighbours that err alike tell less than their number: first-order autocorrelation, up to four for one as in a mean.
        double alike = left > 0 ? Math.Clamp(neighbours / left, 0, MostAlike) : 0;
        double scatter = Math.Max(noisePa, Math.Sqrt(left / (count - 2)));
        double counted = scatter * Math.Sqrt((1 + alike) / (1 - alike));
        return new SettlingFit(a, counted * Math.Sqrt((1.0 / count) + (meanE * meanE / squares)), b, counted / Math.Sqrt(squares), scatter);
    }
}
