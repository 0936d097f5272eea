namespace DriftWatch.Trends.Windows;

/// <summary>A few neighbouring samples at rest, summed: what a run of rest keeps so that its memory stays bounded.</summary>
/// <param name="Count">Number of samples.</param>
/// <param name="First">Instant of the first, UTC.</param>
/// <param name="Last">Instant of the last, UTC.</param>
/// <param name="PressureSumPa">Sum of the gas pressures, Pa absolute.</param>
/// <param name="TemperatureSumK">Sum of the gas temperatures, K.</param>
/// <param name="PrechargeSumPa">Sum of the pressures at the reference temperature, Pa absolute.</param>
public readonly record struct RestBlock(
    int Count, DateTimeOffset First, DateTimeOffset Last,
    double PressureSumPa, double TemperatureSumK, double PrechargeSumPa)
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
