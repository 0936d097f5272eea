namespace DriftWatch.Trends.Faults;

/// <summary>
/// A registered range as a current loop of 4 to 20 mA with the limits of NAMUR NE 43 (from memory): 3.8 to 20.5 mA measure,
/// at most 3.6 or at least 21 mA signal a failure. A value sent as a number is held to the same limits.
/// </summary>
internal readonly record struct CurrentLoop(double Low, double High)
{
    private const double FailureLowMilliamperes = 3.6;
    private const double MeasuringLowMilliamperes = 3.8;
    private const double MeasuringHighMilliamperes = 20.5;
    private const double FailureHighMilliamperes = 21;

    /// <summary>A value sent in whole steps may fall on a limit by rounding, mA.</summary>
    private const double RoundingMilliamperes = 1e-6;

    public double Milliamperes(double value) => 4 + (16 * (value - Low) / (High - Low));

    public LoopState StateOf(double value)
    {
        double current = Milliamperes(value);
        return current switch
        {
            > FailureLowMilliamperes + RoundingMilliamperes and < MeasuringLowMilliamperes - RoundingMilliamperes => LoopState.Saturated,
            > MeasuringHighMilliamperes + RoundingMilliamperes and < FailureHighMilliamperes - RoundingMilliamperes => LoopState.Saturated,
            >= MeasuringLowMilliamperes - RoundingMilliamperes and <= MeasuringHighMilliamperes + RoundingMilliamperes => LoopState.Measuring,
            _ => LoopState.Failed,
        };
    }
}
