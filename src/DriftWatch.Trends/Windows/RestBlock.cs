using System.Text.Json.Serialization;

namespace DriftWatch.Trends.Windows;

/// <summary>
/// A few neighbouring samples at rest, summed: what a run of rest keeps so that its memory stays bounded. Stored under names of
/// one letter: a state holds up to 64 of them.
/// </summary>
/// <param name="Count">Number of samples.</param>
/// <param name="First">Instant of the first, UTC.</param>
/// <param name="Last">Instant of the last, UTC.</param>
/// <param name="PressureSumPa">Sum of the gas pressures, Pa absolute.</param>
/// <param name="TemperatureSumK">Sum of the gas temperatures, K.</param>
/// <param name="PrechargeSumPa">Sum of the pressures at the reference temperature, Pa absolute.</param>
public readonly record struct RestBlock(
    [property: JsonPropertyName("n")] int Count,
    [property: JsonPropertyName("f")] DateTimeOffset First,
    [property: JsonPropertyName("l")] DateTimeOffset Last,
    [property: JsonPropertyName("p")] double PressureSumPa,
    [property: JsonPropertyName("t")] double TemperatureSumK,
    [property: JsonPropertyName("r")] double PrechargeSumPa)
{
    internal double MeanPressurePa => PressureSumPa / Count;

    internal double MeanTemperatureK => TemperatureSumK / Count;

    internal double MeanPrechargePa => PrechargeSumPa / Count;

    internal DateTimeOffset Middle => First + ((Last - First) / 2);

    internal RestBlock Join(RestBlock later) => new(
        Count + later.Count, First, later.Last,
        PressureSumPa + later.PressureSumPa,
        TemperatureSumK + later.TemperatureSumK,
        PrechargeSumPa + later.PrechargeSumPa);
}
