namespace DriftWatch.Plant.Jobs;

/// <summary>
/// How a filling goes: gas pushed in is warm and settles lower. Figures are for the reference temperature of the
/// precharge and real gas; other temperatures by the charging table.
/// </summary>
/// <param name="GasTemperatureCelsius">Temperature of shell and bottle that the figures hold for, degrees C.</param>
/// <param name="SettledBarGauge">Target once settled, bar gauge.</param>
/// <param name="HighestAtEndBarGauge">
/// What the gauge shows at the end when the gas goes in so fast that it trades no heat, bar gauge, or of a slow filling where bottles
/// that are nearly emptied make that the greater. Null when the bottles do not reach the target, or run too cold so fast, and where it
/// would pass the vessel's highest working pressure.
/// </param>
/// <param name="BottleLitres">Bottle that is reckoned with, litres.</param>
/// <param name="BottleBarGauge">Its pressure at 15 degrees C, bar gauge.</param>
/// <param name="Bottles">Fresh bottles needed, one after the other; null when they do not reach the target by their own pressure.</param>
/// <param name="Words">The same in words, a line each.</param>
public sealed record FillingAdvice(
    double GasTemperatureCelsius,
    double SettledBarGauge,
    double? HighestAtEndBarGauge,
    double BottleLitres,
    double BottleBarGauge,
    int? Bottles,
    IReadOnlyList<string> Words);
