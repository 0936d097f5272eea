using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>
/// Pressures as text, each with gauge or absolute said: '90 bar gauge', '13.2 MPa absolute'. Read are also barg, bara, psig, psia, bar(g),
/// bar abs and the like. A pressure that does not say which is refused: at 1 bar precharge the two are a factor of two apart.
/// </summary>
public static class PressureText
{
    private const string What = "pressure";
    private const string Example = "90 bar gauge' or '91 bar absolute";
    private static readonly string[] GaugeWords = ["gauge", "gage", "g", "(g)", "(gauge)"];
    private static readonly string[] AbsoluteWords = ["absolute", "abs", "a", "(a)", "(abs)", "(absolute)"];

    /// <summary>Reads a gauge pressure.</summary>
    /// <param name="text">Number with a decimal point, unit (Pa, kPa, MPa, bar, psi, kgf/cm2) and the word gauge.</param>
    /// <exception cref="FormatException">No number, unknown unit, an absolute pressure, or neither said.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of <see cref="GaugePressure"/>.</exception>
    public static GaugePressure ParseGauge(string text)
    {
        (double pascals, bool isGauge) = Read(text);
        return isGauge
            ? GaugePressure.FromPascals(pascals)
            : throw QuantityText.Refuse(text, "gauge pressure", "it is absolute; subtract the ambient pressure", "90 bar gauge");
    }

    /// <summary>Reads an absolute pressure.</summary>
    /// <param name="text">Number with a decimal point, unit (Pa, kPa, MPa, bar, psi, kgf/cm2) and the word absolute.</param>
    /// <exception cref="FormatException">No number, unknown unit, a gauge pressure, or neither said.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of <see cref="AbsolutePressure"/>.</exception>
    public static AbsolutePressure ParseAbsolute(string text)
    {
        (double pascals, bool isGauge) = Read(text);
        return isGauge
            ? throw QuantityText.Refuse(text, "absolute pressure", "it is gauge; add the ambient pressure", "91 bar absolute")
            : AbsolutePressure.FromPascals(pascals);
    }

    /// <summary>Reads either and gives the absolute pressure.</summary>
    /// <param name="text">Number with a decimal point, unit, and gauge or absolute.</param>
    /// <param name="ambient">Ambient pressure at the gauge.</param>
    /// <exception cref="FormatException">No number, unknown unit, or neither gauge nor absolute said.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of the pressure.</exception>
    public static AbsolutePressure ParseToAbsolute(string text, AbsolutePressure ambient)
    {
        (double pascals, bool isGauge) = Read(text);
        return isGauge ? GaugePressure.FromPascals(pascals).ToAbsolute(ambient) : AbsolutePressure.FromPascals(pascals);
    }

    /// <summary>Writes a gauge pressure with unit and the word 'gauge'.</summary>
    /// <param name="pressure">The pressure.</param>
    /// <param name="unit">Unit to write it in.</param>
    /// <param name="culture">Format of the number.</param>
    public static string Format(GaugePressure pressure, PressureUnit unit, IFormatProvider culture) =>
        $"{Number(pressure.Pascals, unit, culture)} gauge";

    /// <summary>Writes an absolute pressure with unit and the word 'absolute'.</summary>
    /// <param name="pressure">The pressure.</param>
    /// <param name="unit">Unit to write it in.</param>
    /// <param name="culture">Format of the number.</param>
    public static string Format(AbsolutePressure pressure, PressureUnit unit, IFormatProvider culture) =>
        $"{Number(pressure.Pascals, unit, culture)} absolute";

    private static string Number(double pascals, PressureUnit unit, IFormatProvider culture)
    {
        ArgumentNullException.ThrowIfNull(unit);
        return $"{QuantityText.Fixed(pascals / unit.PascalsPerUnit, unit.Decimals, culture)} {unit.Symbol}";
    }

    private static (double Pascals, bool IsGauge) Read(string text)
    {
        (double number, string words) = QuantityText.Split(text, What, Example);
        string plain = words.Replace("cm²", "cm2", StringComparison.Ordinal);

        // The longest symbol first, and the whole symbol: 'Pa' is no 'P' absolute.
        PressureUnit unit = PressureUnit.All.OrderByDescending(u => u.Symbol.Length)
            .FirstOrDefault(u => plain.StartsWith(u.Symbol, StringComparison.Ordinal))
            ?? throw QuantityText.Refuse(
                text, What, $"its unit is none of {string.Join(", ", PressureUnit.All.Select(u => u.Symbol))}, upper and lower case as written here", Example);
        string kind = plain[unit.Symbol.Length..].TrimStart();
        bool isGauge = GaugeWords.Contains(kind, StringComparer.OrdinalIgnoreCase);
        if (!isGauge && !AbsoluteWords.Contains(kind, StringComparer.OrdinalIgnoreCase))
        {
            throw QuantityText.Refuse(
                text, What, kind.Length == 0 ? "it does not say gauge or absolute" : $"'{kind}' says neither gauge nor absolute", Example);
        }

        return (number * unit.PascalsPerUnit, isGauge);
    }
}
