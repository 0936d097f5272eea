namespace DriftWatch.Trends.Windows;

/// <summary>
/// A rest whose normalised pressure still falls at its end although its gas has long come to its temperature: gas that leaks fast,
/// or fluid that seeps out. What comes to its temperature comes ever slower; a leak goes on evenly.
/// </summary>
internal static class FallingRest
{
    /// <summary>Where the settling time is not known the gas gets this time, s ...</summary>
    private const double SettlingS = 3600;

    /// <summary>... and the fall has to go on for this time: over it even the slowest settling that is looked for (3 hours) halves its rate.</summary>
    private const double ShortestUnknownS = 3 * 3600;

    /// <summary>Where it is known, after this many time constants less than 1 % is left of the settling, and the fall has to go on for the time below, s.</summary>
    private const double TimesToSettle = 5;
    private const double ShortestKnownS = 1800;

    /// <summary>So much of the end of the rest is looked at, s: within it even a leak that empties a vessel in a day falls evenly.</summary>
    private const double LongestS = 4 * 3600;

    private const int FewestBlocks = 6;

    /// <summary>Blocks at the end that the window is made of.</summary>
    private const int WindowBlocks = 3;

    /// <summary>The later half must fall by this share of the earlier half, and not by more than its inverse.</summary>
    private const double Evenness = 0.7;

    /// <summary>The fall must be this many times what the temperature may have made of its movement meanwhile.</summary>
    private const double OverTemperature = 2.5;

    /// <summary>More than this share of the gas's own dependence on temperature left over, beyond doubt, and the temperature is wrong.</summary>
    private const double WrongTemperature = 0.5;

    /// <summary>The last blocks of a rest that falls evenly.</summary>
    /// <param name="curve">The rest, the lag of the temperature sensor taken out.</param>
    /// <param name="noisePa">Noise of a block, Pa.</param>
    /// <param name="time">Time constant with which the gas comes to its temperature; null while it is not known.</param>
    /// <returns>The first of the last blocks; -1 where the rest does not fall, or not like a leak.</returns>
    public static int EndOf(RestCurve curve, double noisePa, ThermalTime? time)
    {
        double settled = time is { } constant ? Math.Max(SettlingS / 2, TimesToSettle * constant.Seconds) : SettlingS;
        double shortest = time is null ? ShortestUnknownS : ShortestKnownS;
        double end = curve.Seconds[^1];
        int from = Array.FindIndex(curve.Seconds, seconds => seconds >= Math.Max(settled, end - LongestS));
        if (from < 0 || curve.Count - from < FewestBlocks || end - curve.Seconds[from] < shortest)
        {
            return -1;
        }

        int middle = from + ((curve.Count - from) / 2);
        (double earlier, double earlierUncertainty) = Fall(curve, from, middle, noisePa);
        (double later, double laterUncertainty) = Fall(curve, middle, curve.Count - 1, noisePa);
        double slack = 2 * double.Hypot(earlierUncertainty, laterUncertainty);
        bool even = later > (Evenness * earlier) - slack && earlier > (Evenness * later) - slack
            && earlier > 3 * earlierUncertainty && later > 3 * laterUncertainty;
        if (!even || LeftoverPaPerK(curve, Array.FindIndex(curve.Seconds, seconds => seconds >= settled), noisePa) is not { } leftover)
        {
            return -1;
        }

        double fallPa = curve.Pascals[from] - curve.Pascals[^1];
        return fallPa > OverTemperature * leftover * Swing(curve, from) ? curve.Count - WindowBlocks : -1;
    }

    /// <summary>
    /// The slope of the normalised pressure against temperature that the rest cannot rule out, beside an even leak (a line of the logarithm
    /// in time): no more than the gas's own, which is what a sensor that stands would leave, and as little where the temperature went
    /// another way than the time.
    /// </summary>
    /// <returns>Pa/K; null where the temperature is wrong beyond doubt.</returns>
    private static double? LeftoverPaPerK(RestCurve curve, int from, double noisePa)
    {
        int count = curve.Count - from;
        double endPa = curve.Pascals[^1];
        double[] kelvins = [.. curve.Kelvins.Skip(from)];
        double[] pascals = [.. curve.Pascals.Skip(from).Select(pascal => endPa * Math.Log(Math.Max(pascal, 1) / endPa))];
        ThermalEstimator.TakeOutLine(curve.Seconds.AsSpan(from), kelvins);
        ThermalEstimator.TakeOutLine(curve.Seconds.AsSpan(from), pascals);
        double squares = kelvins.Sum(kelvin => kelvin * kelvin);
        double slope = squares > 0 ? kelvins.Zip(pascals, (kelvin, pascal) => kelvin * pascal).Sum() / squares : 0;
        double left = kelvins.Zip(pascals, (kelvin, pascal) => Math.Pow(pascal - (slope * kelvin), 2)).Sum();

        // Neighbouring blocks share what moves slowly, so they count as a quarter of their number.
        double uncertainty = 2 * Math.Max(noisePa, Math.Sqrt(left / (count - 3))) / Math.Sqrt(squares);
        return Math.Abs(slope) - (3 * uncertainty) > WrongTemperature * curve.PerKelvinPa
            ? null
            : Math.Min(curve.PerKelvinPa, Math.Abs(slope) + (2 * uncertainty));
    }

    /// <summary>Rate of fall between two blocks, both included, and its standard uncertainty, Pa/s; NaN between blocks of one instant.</summary>
    private static (double PaPerS, double UncertaintyPaPerS) Fall(RestCurve curve, int from, int to, double noisePa)
    {
        double seconds = curve.Seconds[to] - curve.Seconds[from];
        (double movementPa, double uncertaintyPa) = curve.Movement(from, to, noisePa);
        return (-movementPa / seconds, uncertaintyPa / seconds);
    }

    private static double Swing(RestCurve curve, int from)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int i = from; i < curve.Count; i++)
        {
            low = Math.Min(low, curve.Kelvins[i]);
            high = Math.Max(high, curve.Kelvins[i]);
        }

        return high - low;
    }
}
