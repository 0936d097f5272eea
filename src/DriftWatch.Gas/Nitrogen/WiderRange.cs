namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Temperatures that gas passes through when it is filled, bled or worked faster than it trades heat. The equation holds from the
/// triple point to 1000 K; above the critical temperature nitrogen is one phase at any density, below it it may condense.
/// </summary>
internal static class WiderRange
{
    public const double LowestTemperatureK = NitrogenCoefficients.CriticalTemperatureK;
    public const double HighestTemperatureK = 1000;

    public static double Temperature(double temperatureK) =>
        temperatureK is >= LowestTemperatureK and <= HighestTemperatureK
            ? temperatureK
            : throw new OutsideNitrogenRangeException(
                nameof(temperatureK), "Temperature of the gas worked without heat exchange", temperatureK, LowestTemperatureK,
                HighestTemperatureK, "K",
                "Below the critical temperature nitrogen may condense, and no gas figure holds. Take a smaller pressure ratio or more time.");
}
