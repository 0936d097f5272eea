namespace DriftWatch.Trends.Normalisation;

/// <summary>The newest value of each signal that a gas pressure is joined with.</summary>
/// <param name="TemperatureK">Gas temperature, K.</param>
/// <param name="TemperatureAt">Its instant, UTC; the minimum before the first.</param>
/// <param name="FluidGaugePa">Fluid-side pressure, Pa gauge.</param>
/// <param name="FluidAt">Its instant, UTC; the minimum before the first.</param>
/// <param name="ContactClosed">Whether the 'depressurised' contact is closed.</param>
/// <param name="ContactAt">Its instant, UTC; the minimum before the first.</param>
public readonly record struct JoinerState(
    double TemperatureK, DateTimeOffset TemperatureAt,
    double FluidGaugePa, DateTimeOffset FluidAt,
    bool ContactClosed, DateTimeOffset ContactAt);
