namespace DriftWatch.Trends.Segments;

/// <summary>
/// How many windows in a row have to lie far off before a step is called: a run rule (Page, Biometrika 42 (1955) 243) whose length follows
/// from what the windows of the vessel did before. With independent errors that lie far off to one side with probability q
/// each, a life of n windows sees a run of k by chance with probability below n q^k. For k = 3 with q up to 1 in 100, and for k = 4
/// with q up to 1 in 25 (one point in twenty grossly off, half of them downwards, and more), that is below 1 % in a life of 3650.
/// </summary>
internal static class WindowRun
{
    /// <summary>Before a vessel has shown its scatter it is taken for greater than the budget says.</summary>
    public const double ScatterAtFirst = 1.5;

    /// <summary>Windows that have to agree.</summary>
    private const int Usual = 3;

    /// <summary>Windows that have to agree on a vessel with gross errors.</summary>
    private const int WithGrossErrors = 4;

    /// <summary>Windows that have to agree on a loss too deep to be an error, on a vessel without gross errors.</summary>
    private const int Deep = 2;

    /// <summary>One window in so many that lies far off alone tells of gross errors.</summary>
    private const int OneIn = 100;

    /// <summary>After so many windows both counts are halved, so that a mended sensor is believed again.</summary>
    private const int Memory = 1000;

    /// <summary>Share of the scatter by which one window moves it at last; the first ones move it more.</summary>
    private const double LeastStep = 0.015;

    /// <summary>The n-th window moves the scatter by 1/(n + this).</summary>
    private const double StepAfter = 9;

    /// <summary>Half of normal errors lie within this many standard deviations.</summary>
    private const double MedianOfNormal = 0.6745;

    /// <summary>Windows in a row that call a step.</summary>
    /// <param name="seen">Windows held against an expectation.</param>
    /// <param name="alone">Those that lay far off alone.</param>
    /// <param name="deep">Whether all that lie low now lie deep.</param>
    /// <param name="falls">
    /// Whether the newest rest itself fell evenly to its end: the fall and the level are two proofs of one loss, and a gross error shows
    /// but one, so that one window less is needed.
    /// </param>
    public static int Needed(int seen, int alone, bool deep, bool falls = false) =>
        (alone > 1 && alone * OneIn > seen ? WithGrossErrors : deep && alone == 0 ? Deep : Usual) - (falls ? 1 : 0);

    /// <summary>The counts after one more window.</summary>
    public static (int Seen, int Alone) Count(int seen, int alone) =>
        seen + 1 < Memory ? (seen + 1, alone) : ((seen + 1) / 2, alone / 2);

    /// <summary>
    /// The scatter after one more window: the median of the magnitudes, found by steps up and down (Robbins and Monro, Ann. Math. Statist. 22
    /// (1951) 400), which no gross error moves further than an honest one.
    /// </summary>
    /// <param name="scatter">The scatter before.</param>
    /// <param name="seen">Windows seen.</param>
    /// <param name="off">How far the window lies off, in standard uncertainties by the budget.</param>
    public static double Learn(double scatter, int seen, double off)
    {
        double step = 1 + Math.Max(LeastStep, 1 / (seen + StepAfter));
        return Math.Abs(off) > MedianOfNormal * scatter ? scatter * step : scatter / step;
    }
}
