namespace DriftWatch.Trends.Normalisation;

/// <summary>A gas pressure with the temperature of its moment, brought to the reference temperature.</summary>
/// <param name="Instant">When, UTC.</param>
/// <param name="PressurePa">Gas pressure, Pa absolute.</param>
/// <param name="TemperatureK">Gas temperature, K.</param>
/// <param name="FluidReleased">Whether the fluid side is known to be released (true), under pressure (false) or not known (null).</param>
/// <param name="FromContact">Whether that is known from the contact rather than from a pressure.</param>
public readonly record struct GasSideSample(
    DateTimeOffset Instant, double PressurePa, double TemperatureK, bool? FluidReleased, bool FromContact)
{
    /// <summary>When the fluid side told that, UTC: not after the instant; of no meaning where it is not known.</summary>
    public DateTimeOffset ReleaseToldAt { get; init; } = Instant;
}
