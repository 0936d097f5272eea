namespace DriftWatch.Charts.Content;

/// <summary>What the axes show.</summary>
internal static class ChartRange
{
    private const double LeastHistoryDays = 14;
    private const double EmptyHistoryDays = 90;
    private const double LeastReachDays = 120;

    /// <summary>
    /// From the first window to the assessment, and on to the crossing as long as the future does not outgrow the past:
    /// a crossing decades ahead would press the points together.
    /// </summary>
    public static AxisSpan Time(double? first, double? last, double asOf, CrossingMark? crossing)
    {
        var end = Math.Max(last ?? asOf, asOf);
        var start = Math.Min(first ?? (end - EmptyHistoryDays), end - LeastHistoryDays);
        var history = end - start;
        var reach = end + Math.Max(history, LeastReachDays);
        var high = crossing switch
        {
            null => end,
            { } c when c.Day > reach => end + (0.25 * history),
            { } c => Math.Max(end, Math.Max(c.Day, Math.Min(c.Latest ?? reach, reach))),
        };
        var margin = 0.025 * (high - start);
        return new AxisSpan(start - margin, high + margin);
    }

    /// <summary>
    /// Limits and the last point always; of the other points all but the outermost hundredth; windows that are kept out only
    /// where they lie near, so that one far reading does not flatten the trend.
    /// </summary>
    public static AxisSpan Pressure(double lower, double upper, double[] current, double[] earlier, double[] keptOut)
    {
        var low = Math.Min(lower, upper);
        var high = Math.Max(lower, upper);
        foreach (var value in Bulk(current).Concat(Bulk(earlier)).Concat(current.TakeLast(1)))
        {
            low = Math.Min(low, value);
            high = Math.Max(high, value);
        }

        var near = 0.35 * (high - low);
        var core = new AxisSpan(low - near, high + near);
        foreach (var value in keptOut.Where(core.Holds))
        {
            low = Math.Min(low, value);
            high = Math.Max(high, value);
        }

        var margin = Math.Max(0.08 * (high - low), 1e-6 * Math.Max(1, Math.Abs(high)));
        return new AxisSpan(low - margin, high + margin);
    }

    private static double[] Bulk(double[] values)
    {
        var sorted = values.Order().ToArray();
        var cut = sorted.Length / 100;
        return sorted[cut..(sorted.Length - cut)];
    }
}
