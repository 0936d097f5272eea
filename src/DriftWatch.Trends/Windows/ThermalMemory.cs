using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Windows;

/// <summary>
/// What the rests of a vessel have told of its warmth: the newest estimates of the time constant with which the gas comes to
/// its temperature, and of the time by which the temperature sensor follows. The median of them is used, so that a rest with
/// trapped fluid or a draught does no harm.
/// </summary>
/// <param name="SettlingS">Time constants, one a rest, oldest first, s.</param>
/// <param name="LagS">Lags, one a rest, oldest first, s; below 0 by scatter only.</param>
public sealed record ThermalMemory(IReadOnlyList<double> SettlingS, IReadOnlyList<double> LagS)
{
    /// <summary>Estimates kept: enough for a steady median, few enough to follow a new sensor within weeks.</summary>
    private const int Most = 15;

    private const int FewestForSettling = 3;
    private const int FewestForLag = 5;

    /// <summary>A first-order lag is a simple picture of gas, wall and sensor: it is trusted no better than this share.</summary>
    private const double ModelShare = 0.15;

    /// <summary>
    /// Lag of a sensor nobody has measured, s: somewhere between none and five minutes, as common practice has it for sensors in
    /// the gas block or on the shell; the root mean square of that rectangle, since nothing is corrected.
    /// </summary>
    private const double UnmeasuredLagS = 173;

    /// <summary>Before the first rest.</summary>
    public static ThermalMemory Start { get; } = new([], []);

    /// <summary>Time constant with which the gas comes to its temperature; null while too few rests showed it.</summary>
    public ThermalTime? Settling => SettlingS.Count >= FewestForSettling ? Middle(SettlingS) : null;

    /// <summary>Time by which the temperature sensor follows the gas; null while too few rests showed it.</summary>
    public ThermalTime? Lag => LagS.Count >= FewestForLag ? Middle(LagS) : null;

    /// <summary>The lag to correct for: 0 with the uncertainty of an unmeasured sensor while it is not known.</summary>
    public ThermalTime LagInUse => Lag ?? new ThermalTime(0, UnmeasuredLagS);

    /// <summary>With what a rest told.</summary>
    /// <param name="settlingS">Its time constant, s; null when it showed none.</param>
    /// <param name="lagS">Its lag, s; null when it showed none.</param>
    public ThermalMemory With(double? settlingS, double? lagS) =>
        settlingS is null && lagS is null ? this : new ThermalMemory(Add(SettlingS, settlingS), Add(LagS, lagS));

    // Whole seconds: the state stays small, and no estimate is better.
    private static IReadOnlyList<double> Add(IReadOnlyList<double> kept, double? seconds) =>
        seconds is { } value ? [.. kept.Skip(Math.Max(0, kept.Count - Most + 1)), Math.Round(value)] : kept;

    private static ThermalTime Middle(IReadOnlyList<double> seconds)
    {
        double[] values = [.. seconds];
        double middle = Medians.Of(values);
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Math.Abs(values[i] - middle);
        }

        // 1.2533 is what a median of many loses to a mean.
        double deviation = Medians.ConsistentDeviation * Medians.Of(values);
        double scatter = 1.2533 * deviation / Math.Sqrt(seconds.Count);
        double value = Math.Max(0, middle);
        return new ThermalTime(value, double.Hypot(scatter, Math.Max(5, ModelShare * value)));
    }
}
