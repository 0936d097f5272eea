using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>
/// Leak rates as text, each with its condition: '1e-5 Pa m3/s at 20 degrees C', '0.5 std cm3/min (DIN 1343)', '12 g/year'. A rate without
/// the condition it needs is refused: the standard conditions are up to 9 % apart.
/// </summary>
public static class LeakRateText
{
    private const string What = "leak rate";
    private const string Example = "1e-5 Pa m3/s at 20 degrees C', '0.5 std cm3/min (DIN 1343)' or '12 g/year";

    /// <summary>Reads a leak rate.</summary>
    /// <param name="text">
    /// Number with a decimal point, unit and condition: Pa m3/s or mbar l/s with 'at' and a temperature; std cm3/min (sccm) or std l/month
    /// with the standard of its condition in brackets (DIN 1343, ISO 13443, ISO 8778); g/year.
    /// </param>
    /// <exception cref="FormatException">No number, unknown unit, or no condition where one is needed.</exception>
    /// <exception cref="ArgumentOutOfRangeException">Outside the range of <see cref="LeakRate"/>.</exception>
    public static LeakRate Parse(string text)
    {
        (double number, string words) = QuantityText.Split(text, What, Example);
        string plain = words.Replace("m³", "m3", StringComparison.Ordinal).Replace("sccm", "std cm3/min", StringComparison.Ordinal);
        return LeakRate.FromMolesPerSecond(number / UnitOf(text, plain).NumberPerMolPerS);
    }

    /// <summary>Writes a leak rate with four digits, unit and condition.</summary>
    /// <param name="rate">The leak rate.</param>
    /// <param name="unit">Unit to write it in.</param>
    /// <param name="culture">Format of the number.</param>
    public static string Format(LeakRate rate, LeakRateUnit unit, IFormatProvider culture)
    {
        ArgumentNullException.ThrowIfNull(unit);
        return $"{(rate.MolesPerSecond * unit.NumberPerMolPerS).ToString("G4", culture)} {unit}";
    }

    private static LeakRateUnit UnitOf(string text, string words)
    {
        if (words == LeakRateUnit.GramsPerYear.Symbol)
        {
            return LeakRateUnit.GramsPerYear;
        }

        GasTemperature anyTemperature = GasTemperature.FromDegreesCelsius(20);
        (string Symbol, Func<string, LeakRateUnit> Make)[] known =
        [
            (LeakRateUnit.PascalCubicMetresPerSecondAt(anyTemperature).Symbol, rest => LeakRateUnit.PascalCubicMetresPerSecondAt(At(rest))),
            (LeakRateUnit.MillibarLitresPerSecondAt(anyTemperature).Symbol, rest => LeakRateUnit.MillibarLitresPerSecondAt(At(rest))),
            (LeakRateUnit.StandardCubicCentimetresPerMinute(StandardCondition.Din1343).Symbol, rest => LeakRateUnit.StandardCubicCentimetresPerMinute(Standard(rest))),
            (LeakRateUnit.StandardLitresPerMonth(StandardCondition.Din1343).Symbol, rest => LeakRateUnit.StandardLitresPerMonth(Standard(rest))),
        ];
        foreach ((string symbol, Func<string, LeakRateUnit> make) in known)
        {
            if (words.StartsWith(symbol, StringComparison.Ordinal))
            {
                return make(words[symbol.Length..].Trim());
            }
        }

        throw QuantityText.Refuse(text, What, $"its unit is none of {string.Join(", ", known.Select(k => k.Symbol))}, g/year", Example);

        GasTemperature At(string rest) => rest.StartsWith("at ", StringComparison.Ordinal)
            ? TemperatureText.Parse(rest["at ".Length..])
            : throw QuantityText.Refuse(text, What, "it does not say at which gas temperature", Example);

        StandardCondition Standard(string rest) => StandardCondition.All.FirstOrDefault(c => rest == $"({c.Standard})")
            ?? throw QuantityText.Refuse(
                text, What, $"it does not say its standard condition, one of ({string.Join("), (", StandardCondition.All.Select(c => c.Standard))})", Example);
    }
}
