using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Faults;

/// <summary>
/// A precharge that rises, told by its shape: nitrogen is let in within minutes, so a charge nobody recorded is one step; fluid
/// gets past a seal or a bladder little by little, so the level climbs from window to window.
/// </summary>
/// <param name="Shape">Which of the two the windows show.</param>
/// <param name="RisePa">How far it rose over the windows looked at, Pa.</param>
/// <param name="Evidence">In words.</param>
public sealed record RisingPrecharge(RiseShape Shape, double RisePa, string Evidence)
{
    private const int LookBack = 60;
    private const int Fewest = 6;

    /// <summary>A rise counts from this many of its standard uncertainties on.</summary>
    private const double RiseUncertainties = 4;

    /// <summary>One shape is told from the other when its squares are so much less than the other's, by the Bayesian information criterion (6: strong).</summary>
    private const double Decisive = 6;

    /// <summary>What the newest windows of one segment show.</summary>
    /// <param name="points">Accepted windows in order of time.</param>
    /// <returns>Null when the precharge does not rise, or fewer than six windows are there.</returns>
    public static RisingPrecharge? Of(IReadOnlyList<PrechargeWindow> points)
    {
        int first = Math.Max(0, points.Count - LookBack);
        int count = points.Count - first;
        if (count < Fewest)
        {
            return null;
        }

        double[] days = [.. points.Skip(first).Select(point => (point.Middle - points[first].Middle).TotalDays)];
        double[] pascals = [.. points.Skip(first).Select(point => point.PrechargePa)];
        double meanDay = days.Average(), meanPa = pascals.Average();
        double squares = days.Sum(day => (day - meanDay) * (day - meanDay));
        double slope = days.Zip(pascals).Sum(pair => (pair.First - meanDay) * (pair.Second - meanPa)) / squares;
        double ramp = days.Zip(pascals).Sum(pair => Square(pair.Second - meanPa - (slope * (pair.First - meanDay))));
        double uncertainty = Math.Sqrt(ramp / (count - 2) / squares);
        if (!(slope > RiseUncertainties * uncertainty))
        {
            return null;
        }

        (int at, double step, double left) = BestStep(pascals);

        // The place of the step is a third number fitted, the line has two; ln n for each.
        double forRamp = (count * Math.Log(left / ramp)) + Math.Log(count);
        double rise = slope * days[^1];
        return forRamp > Decisive
            ? new RisingPrecharge(RiseShape.FluidInGasSide, rise, FormattableString.Invariant(
                $"The precharge climbed steadily, by {rise / 1e5:0.0} bar over {count} windows in {days[^1]:0} days: fluid in the gas side is likely. Check the gas side for fluid before any charge or bleed."))
            : forRamp < -Decisive
                ? new RisingPrecharge(RiseShape.UnrecordedCharge, step, FormattableString.Invariant(
                    $"The precharge rose at once, by {step / 1e5:0.0} bar before {points[first + at].Start.UtcDateTime:yyyy-MM-dd}, and stayed there: a charge that is not on record is likely."))
                : new RisingPrecharge(RiseShape.NotTold, rise, FormattableString.Invariant(
                    $"The precharge rose by {rise / 1e5:0.0} bar over {count} windows; whether at once or little by little the windows do not tell yet."));
    }

    private static (int At, double StepPa, double Left) BestStep(double[] values)
    {
        (int at, double step, double left) = (1, 0.0, double.PositiveInfinity);
        for (int i = 1; i < values.Length; i++)
        {
            double before = values[..i].Average(), after = values[i..].Average();
            double squares = values[..i].Sum(value => Square(value - before)) + values[i..].Sum(value => Square(value - after));
            if (squares < left)
            {
                (at, step, left) = (i, after - before, squares);
            }
        }

        return (at, step, Math.Max(left, double.Epsilon));
    }

    private static double Square(double value) => value * value;
}
