using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Segments;

/// <summary>
/// What the next window should show if nothing but leakage happens: a short robust line (Theil-Sen) through the last
/// points of the segment, and the band around it in which a window counts as expected.
/// </summary>
internal readonly record struct Expectation(
    DateTimeOffset Last, double LevelPa, double SlopePaPerSecond, double SpanSeconds, double UncertaintyPa, int Count, double MeanSeconds, double SquareSum,
    double FloorPa, double NewestPa, LossBounds Bounds)
{
    /// <summary>Points looked back at: enough for a robust slope, few enough to follow a changing loss.</summary>
    public const int LookBack = 24;

    private const int FewestForSlope = 4;

    /// <summary>The level is last seen by the median of so many points.</summary>
    private const int Newest = 3;
    private const double BandInUncertainties = 4;

    /// <summary>A window lies low from this many of its standard uncertainties below: several in a row have to agree, so one need not be as sure.</summary>
    private const double LowInUncertainties = 3.2;

    /// <summary>Medians err by some tenth more than least squares (Theil-Sen and median, by trial).</summary>
    private const double MedianLoss = 1.1;

    /// <summary>A loss of this share of the precharge at once is deeper than gross errors commonly reach (common practice).</summary>
    private const double DeepShare = 0.1;

    /// <summary>
    /// A straight line through a span lags behind a loss that began within it: at the end by h (1 - h)^2 of what is lost in the span at the new
    /// rate where it began the share h before the end (least squares), which is 4/27 at most.
    /// </summary>
    private const double LagOfLine = 4.0 / 27;

    /// <summary>Least half-width of the band, relative: placement and weather move honest windows this far.</summary>
    private const double LeastBand = 0.008;

    public static Expectation From(IReadOnlyList<PrechargeWindow> points, LossBounds bounds)
    {
        int first = Math.Max(0, points.Count - LookBack);
        int count = points.Count - first;
        DateTimeOffset last = points[^1].Middle;
        Span<double> seconds = stackalloc double[LookBack];
        Span<double> values = stackalloc double[LookBack];
        double uncertainty = 0;
        double floor = bounds.AmbientPa;
        for (int i = 0; i < count; i++)
        {
            seconds[i] = (points[first + i].Middle - last).TotalSeconds;
            values[i] = points[first + i].PrechargePa;
            uncertainty = Math.Max(uncertainty, points[first + i].RandomUncertaintyPa);
            floor = Math.Min(floor, values[i]);
        }

        double mean = 0, squares = 0;
        for (int i = 0; i < count; i++)
        {
            mean += seconds[i] / count;
        }

        for (int i = 0; i < count; i++)
        {
            squares += (seconds[i] - mean) * (seconds[i] - mean);
        }

        double newest = Median(values[Math.Max(0, count - Newest)..count]);
        double slope = count >= FewestForSlope ? MedianSlope(seconds[..count], values[..count]) : 0;
        for (int i = 0; i < count; i++)
        {
            values[i] -= slope * seconds[i];
        }

        return new Expectation(last, Median(values[..count]), slope, -seconds[0], uncertainty, count, mean, squares, floor, newest, bounds);
    }

    /// <summary>
    /// Level expected at an instant; a slope seen over a short time is not carried further than twice that time, and none below
    /// the pressure around the vessel (as its windows show it), where nothing is left to lose.
    /// </summary>
    public double At(DateTimeOffset instant) =>
        Math.Max(FloorPa, LevelPa + (SlopePaPerSecond * Carried(instant)));

    /// <summary>The same, or the level last seen where that is higher: a leak that ends leaves the gas where it was, and only a charge lifts it.</summary>
    public double AtMost(DateTimeOffset instant) => Math.Max(At(instant), NewestPa);

    /// <summary>The same, or what is left where the allowed loss is more than the expected one.</summary>
    public double AfterAllowedLoss(DateTimeOffset instant) =>
        Math.Min(At(instant), LevelPa - (Bounds.AllowedPaPerSecond * Since(instant))) - Lag;

    /// <summary>Half-width of the band upwards at a window.</summary>
    public double BandAt(PrechargeWindow window) => Band(UncertaintyPa, window, LevelPa) + ChangeOfLoss(window);

    /// <summary>Standard uncertainty of the difference between a window and what is expected of it, by the budget, Pa.</summary>
    public double OffUncertaintyPa(PrechargeWindow window)
    {
        // Of a line by least squares: 1/n for the level and, with a slope, the square of the way from the mean instant over the sum of squares.
        double way = Carried(window.Middle) - MeanSeconds;
        double foretold = (1.0 / Count) + (Count < FewestForSlope ? 0 : way * way / SquareSum);
        return double.Hypot(MedianLoss * Math.Sqrt(foretold) * UncertaintyPa, window.RandomUncertaintyPa);
    }

    /// <summary>Whether a window shows less than is expected, beyond what chance makes of one in some fifteen hundred.</summary>
    /// <param name="window">The window.</param>
    /// <param name="scatter">Scatter of the vessel's windows about what was expected of them, over the budget's, 1 or more.</param>
    public bool LiesBelow(PrechargeWindow window, double scatter) =>
        window.PrechargePa < At(window.Middle) - ChanceAt(window, scatter) - FallAt(window);

    /// <summary>The same upwards: more than is expected, and than was last seen.</summary>
    /// <inheritdoc cref="LiesBelow"/>
    public bool LiesAbove(PrechargeWindow window, double scatter) =>
        window.PrechargePa > AtMost(window.Middle) + ChanceAt(window, scatter) + ChangeOfLoss(window);

    /// <summary>Whether a window shows that so much gas is gone at once that no gross error is as likely.</summary>
    public bool LiesDeep(PrechargeWindow window) => window.PrechargePa < (1 - DeepShare) * At(window.Middle);

    private double Carried(DateTimeOffset instant) => Math.Min((instant - Last).TotalSeconds, 2 * SpanSeconds);

    private double ChanceAt(PrechargeWindow window, double scatter) =>
        Math.Max(LowInUncertainties * scatter * OffUncertaintyPa(window), LeastBand * LevelPa);

    /// <summary>A loss may change: half of what the slope makes of the time since the last point is not held against a window.</summary>
    private double ChangeOfLoss(PrechargeWindow window) => Math.Abs(SlopePaPerSecond) * Since(window.Middle) / 2;

    /// <summary>
    /// What leakage may have taken beyond what is expected: a loss may begin or grow by as much as is allowed, and for the time
    /// for which no slope is known it may be any that a leak commonly has.
    /// </summary>
    private double FallAt(PrechargeWindow window)
    {
        double since = Since(window.Middle);
        if (Count < FewestForSlope)
        {
            return Bounds.MostBetween(SpanSeconds + since);
        }

        double known = Math.Min(since, 2 * SpanSeconds);
        return Math.Max(ChangeOfLoss(window), Bounds.AllowedPaPerSecond * known) + Lag + Bounds.MostBetween(since - known);
    }

    /// <summary>
    /// How far the line may lie above the present because the allowed loss began within its span. A quarter of the least band covers it
    /// where windows come daily; it counts where they lie far apart.
    /// </summary>
    private double Lag => Math.Max(0, (LagOfLine * Bounds.AllowedPaPerSecond * SpanSeconds) - (LeastBand * LevelPa / 4));

    private double Since(DateTimeOffset instant) => Math.Max(0, (instant - Last).TotalSeconds);

    /// <summary>Half-width of the band between a level and a window.</summary>
    public static double Band(double uncertaintyPa, PrechargeWindow window, double levelPa) =>
        Math.Max(BandInUncertainties * double.Hypot(uncertaintyPa, window.RandomUncertaintyPa), LeastBand * levelPa);

    /// <summary>Whether two windows show the same precharge within the band.</summary>
    public static bool Agree(PrechargeWindow one, PrechargeWindow other) =>
        Math.Abs(one.PrechargePa - other.PrechargePa) <= Band(one.RandomUncertaintyPa, other, one.PrechargePa);

    /// <summary>Whether a later window shows the same precharge, or what a leak may have left of it.</summary>
    public static bool AgreeButForLeak(PrechargeWindow earlier, PrechargeWindow later, LossBounds bounds)
    {
        double band = Band(earlier.RandomUncertaintyPa, later, earlier.PrechargePa);
        double fall = earlier.PrechargePa - later.PrechargePa;
        return fall >= -band && fall <= band + bounds.MostBetween((later.Middle - earlier.Middle).TotalSeconds);
    }

    private static double MedianSlope(ReadOnlySpan<double> seconds, ReadOnlySpan<double> values)
    {
        Span<double> slopes = stackalloc double[LookBack * (LookBack - 1) / 2];
        int count = 0;
        for (int i = 0; i < seconds.Length; i++)
        {
            for (int j = i + 1; j < seconds.Length; j++)
            {
                if (seconds[j] > seconds[i])
                {
                    slopes[count++] = (values[j] - values[i]) / (seconds[j] - seconds[i]);
                }
            }
        }

        return count > 0 ? Medians.Of(slopes[..count]) : 0;
    }

    private static double Median(ReadOnlySpan<double> values)
    {
        Span<double> copy = stackalloc double[values.Length];
        values.CopyTo(copy);
        return Medians.Of(copy);
    }
}
