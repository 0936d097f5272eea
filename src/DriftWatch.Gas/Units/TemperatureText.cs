using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>Temperatures as text: '20 degrees C', '68 °F', '293.15 K'.</summary>
public static class TemperatureText
{
    private const string Example = "20 degrees C";

    /// <summary>Reads a temperature.</summary>
    /// <param name="text">Number with a decimal point and a unit: °C, degrees C, C, °F, degrees F, F, or K.</param>
    /// <exception cref="FormatException">No number or unknown unit.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of <see cref="GasTemperature"/>.</exception>
    public static GasTemperature Parse(string text)
    {
        (double number, string words) = QuantityText.Split(text, "temperature", Example);
        TemperatureUnit unit = TemperatureUnit.All.FirstOrDefault(u => u.Symbol == words || u.OtherNames.Contains(words))
            ?? throw QuantityText.Refuse(text, "temperature", "its unit is none of °C (degrees C), °F (degrees F), K", Example);
        return unit.ToTemperature(number);
    }

    /// <summary>Writes a temperature with one decimal and its unit.</summary>
    /// <param name="temperature">The temperature.</param>
    /// <param name="unit">Unit to write it in.</param>
    /// <param name="culture">Format of the number.</param>
    public static string Format(GasTemperature temperature, TemperatureUnit unit, IFormatProvider culture)
    {
        ArgumentNullException.ThrowIfNull(unit);
        return $"{QuantityText.Fixed(unit.From(temperature), 1, culture)} {unit.Symbol}";
    }
}
