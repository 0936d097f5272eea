namespace DriftWatch.Gas.Charging;

/// <summary>
/// Heat that gas trades with its shell while it is filled. The difference to the shell decays with the time constant; the shell
/// keeps its temperature. <c>default</c> is none: the adiabatic limit of the fastest filling.
/// </summary>
public readonly record struct HeatExchange
{
    private HeatExchange(TimeSpan fillingTime, TimeSpan vesselTimeConstant, TimeSpan bottleTimeConstant)
    {
        FillingTime = fillingTime;
        VesselTimeConstant = vesselTimeConstant;
        BottleTimeConstant = bottleTimeConstant;
    }

    /// <summary>No heat exchange.</summary>
    public static HeatExchange None => default;

    /// <summary>Time the filling takes at an even flow; zero for the adiabatic limit.</summary>
    public TimeSpan FillingTime { get; }

    /// <summary>Time constant of the gas in the vessel.</summary>
    public TimeSpan VesselTimeConstant { get; }

    /// <summary>Time constant of the gas in the bottle.</summary>
    public TimeSpan BottleTimeConstant { get; }

    /// <summary>Takes a filling time and the time constants of both gas spaces, some minutes each in common practice.</summary>
    /// <param name="fillingTime">Zero or more.</param>
    /// <param name="vesselTimeConstant">Above zero.</param>
    /// <param name="bottleTimeConstant">Above zero.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range.</exception>
    public static HeatExchange During(TimeSpan fillingTime, TimeSpan vesselTimeConstant, TimeSpan bottleTimeConstant)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fillingTime, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(vesselTimeConstant, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(bottleTimeConstant, TimeSpan.Zero);
        return new HeatExchange(fillingTime, vesselTimeConstant, bottleTimeConstant);
    }
}
