using System.Globalization;
using DriftWatch.Charts.Content;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts.Drawing;

/// <summary>Round places on the axes: 1-2-5 steps for pressure, calendar steps for time.</summary>
internal static class AxisTicks
{
    private static readonly int[] DaySteps = [1, 2, 7, 14];
    private static readonly int[] MonthSteps = [1, 2, 3, 6];
    private static readonly int[] YearSteps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

    /// <summary>Pressure ticks, at most <paramref name="most"/> of them and at least one step apart.</summary>
    public static IReadOnlyList<AxisTick> Pressure(AxisSpan span, int most)
    {
        var rough = span.Length / Math.Max(1, most);
        var decade = Math.Pow(10, Math.Floor(Math.Log10(rough)));
        var step = new[] { 1.0, 2, 5, 10 }.Select(m => m * decade).First(s => s >= rough * (1 - 1e-9));
        var decimals = Math.Clamp((int)Math.Ceiling(-Math.Log10(step) - 1e-9), 0, 9);
        List<AxisTick> ticks = [];
        for (var n = Math.Ceiling(span.Low / step); n * step <= span.High; n++)
        {
            // n + 0 turns a negative zero into zero.
            ticks.Add(new AxisTick(n * step, ((n + 0) * step).ToString($"F{decimals}", CultureInfo.InvariantCulture)));
        }

        return ticks;
    }

    /// <summary>Dates (UTC), at most <paramref name="most"/> of them; written as far as they are needed: day, month or year.</summary>
    public static IReadOnlyList<AxisTick> Time(AxisSpan span, int most)
    {
        var fitting = Math.Max(1, most);
        var step = DaySteps.FirstOrDefault(s => span.Length / s <= fitting);
        if (step > 0)
        {
            return Days(span, step);
        }

        step = MonthSteps.FirstOrDefault(s => span.Length / (s * 30.4) <= fitting);
        if (step > 0)
        {
            return Months(span, step, "yyyy-MM");
        }

        step = YearSteps.FirstOrDefault(s => span.Length / (s * 365.25) <= fitting, YearSteps[^1]);
        return Months(span, 12 * step, "yyyy");
    }

    private static List<AxisTick> Days(AxisSpan span, int step)
    {
        // 1970-01-05 was a Monday: weekly ticks fall on Mondays.
        const int Monday = 4;
        List<AxisTick> ticks = [];
        for (var day = (Math.Ceiling((span.Low - Monday) / step) * step) + Monday; day <= span.High; day += step)
        {
            ticks.Add(new AxisTick(day, DayText.Of(ChartTime.Instant(day))));
        }

        return ticks;
    }

    private static List<AxisTick> Months(AxisSpan span, int step, string format)
    {
        var low = ChartTime.Instant(span.Low).UtcDateTime;
        var high = ChartTime.Instant(span.High).UtcDateTime;
        List<AxisTick> ticks = [];
        var lastMonth = (high.Year * 12) + high.Month - 1;
        for (var month = ((low.Year * 12) + low.Month - 1) / step * step; month <= lastMonth; month += step)
        {
            if (month < 12)
            {
                continue;
            }

            DateTime date = new(month / 12, (month % 12) + 1, 1, 0, 0, 0, DateTimeKind.Utc);
            var day = ChartTime.Days(date);
            if (span.Holds(day))
            {
                ticks.Add(new AxisTick(day, date.ToString(format, CultureInfo.InvariantCulture)));
            }
        }

        return ticks;
    }
}
