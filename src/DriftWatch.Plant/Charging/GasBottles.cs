using DriftWatch.Gas.Quantities;

namespace DriftWatch.Plant.Charging;

/// <summary>The bottles at hand, all alike and fresh.</summary>
/// <param name="Volume">Volume of one; above 0.</param>
/// <param name="Pressure">Its pressure at 15 degrees C, as bottles are marked.</param>
public readonly record struct GasBottles(GasVolume Volume, GaugePressure Pressure)
{
    /// <summary>50 litres at 200 bar gauge (common practice).</summary>
    public static GasBottles Common { get; } = new(GasVolume.FromLitres(50), GaugePressure.FromBar(200));

    /// <summary>Temperature at which bottles are marked (common practice).</summary>
    public static GasTemperature MarkedAt { get; } = GasTemperature.FromDegreesCelsius(15);
}
