namespace DriftWatch.Gas.Sizing;

/// <summary>
/// Heat that the gas trades with the shell during a stroke at even fluid flow. The adiabatic and the isothermal stroke are its ends.
/// <c>default</c> is adiabatic.
/// </summary>
public readonly record struct StrokeHeat
{
    private StrokeHeat(double timeConstants) => TimeConstants = timeConstants;

    /// <summary>No heat exchange; common practice for cycles faster than about three minutes.</summary>
    public static StrokeHeat Adiabatic => default;

    /// <summary>The gas keeps the shell's temperature.</summary>
    public static StrokeHeat Isothermal { get; } = new(double.PositiveInfinity);

    /// <summary>Length of the stroke in time constants of the heat exchange, a pure number from 0 to infinity.</summary>
    public double TimeConstants { get; }

    /// <summary>A stroke of a duration with a time constant of the heat exchange between gas and shell.</summary>
    /// <param name="duration">Zero or more; zero is adiabatic.</param>
    /// <param name="timeConstant">Above zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range.</exception>
    public static StrokeHeat During(TimeSpan duration, TimeSpan timeConstant)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(duration, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(timeConstant, TimeSpan.Zero);
        return new StrokeHeat(duration / timeConstant);
    }
}
