using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>Volumes as text: '50 l', '13.2 US gal', '3051 in3', '0.05 m3'.</summary>
public static class VolumeText
{
    private const string Example = "50 litres' or '10 US gal";

    /// <summary>Reads a volume.</summary>
    /// <param name="text">Number with a decimal point and a unit: l, m3, US gal, in3 and their spellings. A gallon says US.</param>
    /// <exception cref="FormatException">No number or unknown unit.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of <see cref="GasVolume"/>.</exception>
    public static GasVolume Parse(string text)
    {
        (double number, string words) = QuantityText.Split(text, "volume", Example);
        VolumeUnit unit = VolumeUnit.All.FirstOrDefault(u => u.Symbol == words || u.OtherNames.Contains(words))
            ?? throw QuantityText.Refuse(
                text, "volume", $"its unit is none of {string.Join(", ", VolumeUnit.All.Select(u => u.Symbol))}; a gallon must say US", Example);
        return GasVolume.FromCubicMetres(number * unit.CubicMetresPerUnit);
    }

    /// <summary>Writes a volume with its unit.</summary>
    /// <param name="volume">The volume.</param>
    /// <param name="unit">Unit to write it in.</param>
    /// <param name="culture">Format of the number.</param>
    public static string Format(GasVolume volume, VolumeUnit unit, IFormatProvider culture)
    {
        ArgumentNullException.ThrowIfNull(unit);
        return $"{QuantityText.Fixed(volume.CubicMetres / unit.CubicMetresPerUnit, unit.Decimals, culture)} {unit.Symbol}";
    }
}
