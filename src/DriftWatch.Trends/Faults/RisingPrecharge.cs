using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Faults;

/// <summary>
/// A precharge that rises, told by its shape: nitrogen is let in within minutes, so a charge nobody recorded is one step; fluid
/// gets past a seal or a bladder little by little, so the level climbs from window to window.
/// </summary>
/// <param name="Shape">Which of the two the windows show.</param>
/// <param name="RisePa">How far it rose over the windows looked at, Pa.</param>
/// <param name="Windows">The windows looked at; for a step, or a climb that began among them, those since.</param>
/// <param name="First">When the rise began, UTC: the first window looked at, or the first after the step.</param>
/// <param name="Last">Start of the last window looked at, UTC.</param>
public sealed record RisingPrecharge(RiseShape Shape, double RisePa, int Windows, DateTimeOffset First, DateTimeOffset Last)
{
    private const int LookBack = 60;
    private const int Fewest = 8;

    /// <summary>A rise counts from this score of the rank test of Mann and Kendall on: one in 700 by chance, and more than that it must be to matter.</summary>
    private const double RiseScore = 3;

    /// <summary>A rise counts from this share of the nominal precharge on: seasons in the placement of a sensor move honest windows nearly as far.</summary>
    private const double LeastRise = 0.01;

    /// <summary>One shape is told from the other when its squares are so much less than the other's, by the Bayesian information criterion (6: strong).</summary>
    private const double Decisive = 6;

    /// <summary>What the newest windows of one segment show.</summary>
    /// <param name="points">Accepted windows in order of time.</param>
    /// <param name="nominalPa">Nominal precharge, Pa absolute; above 0. Of what is left in an empty vessel noise is a large share.</param>
    /// <returns>Null when the precharge does not rise, or fewer than eight windows are there.</returns>
    public static RisingPrecharge? Of(IReadOnlyList<PrechargeWindow> points, double nominalPa)
    {
        int first = Math.Max(0, points.Count - LookBack);
        int count = points.Count - first;
        if (count < Fewest)
        {
            return null;
        }

        double[] days = [.. points.Skip(first).Select(point => (point.Middle - points[first].Middle).TotalDays)];
        double[] pascals = [.. points.Skip(first).Select(point => point.PrechargePa)];
        double rise = TheilSen.Slope(days, pascals) * days[^1];
        double meanDay = days.Average(), meanPa = pascals.Average();
        if (!(MannKendall.Z(pascals) > RiseScore && rise > LeastRise * nominalPa))
        {
            return null;
        }

        double squares = days.Sum(day => (day - meanDay) * (day - meanDay));
        double slope = days.Zip(pascals).Sum(pair => (pair.First - meanDay) * (pair.Second - meanPa)) / squares;
        double ramp = days.Zip(pascals).Sum(pair => Square(pair.Second - meanPa - (slope * (pair.First - meanDay))));
        (int at, double step, double left) = BestStep(pascals);
        (int knee, double climb, double bent) = BestKnee(days, pascals);

        // The place of the step, or of the knee, is a third number fitted, the line has two; ln n for each.
        double forRamp = (count * Math.Log(left / ramp)) + Math.Log(count);
        double forKnee = count * Math.Log(left / bent);
        if (Math.Max(forRamp, forKnee) < -Decisive)
        {
            return new RisingPrecharge(RiseShape.UnrecordedCharge, step, count - at, points[first + at].Start, points[^1].Start);
        }

        RiseShape shape = Math.Max(forRamp, forKnee) > Decisive ? RiseShape.FluidInGasSide : RiseShape.NotTold;
        return shape == RiseShape.FluidInGasSide && forKnee > forRamp
            ? new RisingPrecharge(shape, climb, count - knee, points[first + knee].Start, points[^1].Start)
            : new RisingPrecharge(shape, rise, count, points[first].Start, points[^1].Start);
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

    /// <summary>
    /// The best line that is level up to one of the windows and climbs from it on: fluid that began to get in within the windows looked at, whose
    /// way a step would follow more closely than a line through all of them.
    /// </summary>
    private static (int At, double RisePa, double Left) BestKnee(double[] days, double[] values)
    {
        (int at, double rise, double left) = (0, 0.0, double.PositiveInfinity);
        double mean = values.Average();
        for (int i = 1; i < values.Length - 1; i++)
        {
            double[] since = [.. days.Select(day => Math.Max(0, day - days[i]))];
            double meanSince = since.Average();
            double spread = since.Sum(value => Square(value - meanSince));
            double slope = spread > 0 ? since.Zip(values, (x, y) => (x - meanSince) * (y - mean)).Sum() / spread : 0;
            double squares = since.Zip(values, (x, y) => Square(y - mean - (slope * (x - meanSince)))).Sum();
            if (squares < left)
            {
                (at, rise, left) = (i, slope * since[^1], squares);
            }
        }

        return (at, rise, Math.Max(left, double.Epsilon));
    }

    private static double Square(double value) => value * value;
}
