using System.Globalization;
using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>
/// A unit of leak rate with what it needs to mean something: the temperature of a pV rate, the standard condition of a standard volume
/// rate. Factors from their definitions (1 mbar l/s = 0.1 Pa m3/s; ideal gas; a month is a twelfth of 365.25 days).
/// </summary>
public sealed record LeakRateUnit
{
    private LeakRateUnit(string symbol, string condition, double numberPerMolPerS)
    {
        Symbol = symbol;
        Condition = condition;
        NumberPerMolPerS = numberPerMolPerS;
    }

    /// <summary>Grams of nitrogen per year; needs no condition.</summary>
    public static LeakRateUnit GramsPerYear { get; } = new("g/year", string.Empty, One.GramsPerYear);

    /// <summary>Symbol of the unit without its condition.</summary>
    public string Symbol { get; }

    /// <summary>The condition in words, such as 'at 20 degrees C' or '(DIN 1343)'; empty where none is needed.</summary>
    public string Condition { get; }

    /// <summary>Number of this unit that is 1 mol/s.</summary>
    public double NumberPerMolPerS { get; }

    private static LeakRate One => LeakRate.FromMolesPerSecond(1);

    /// <summary>Pa m3/s of gas at a temperature.</summary>
    public static LeakRateUnit PascalCubicMetresPerSecondAt(GasTemperature statedAt) =>
        new("Pa m3/s", At(statedAt), One.PascalCubicMetresPerSecondAt(statedAt));

    /// <summary>mbar l/s of gas at a temperature.</summary>
    public static LeakRateUnit MillibarLitresPerSecondAt(GasTemperature statedAt) =>
        new("mbar l/s", At(statedAt), One.MillibarLitresPerSecondAt(statedAt));

    /// <summary>Standard cm3 per minute at a standard condition.</summary>
    public static LeakRateUnit StandardCubicCentimetresPerMinute(StandardCondition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        return new("std cm3/min", $"({condition.Standard})", One.StandardCubicCentimetresPerMinute(condition));
    }

    /// <summary>Standard litres per month at a standard condition.</summary>
    public static LeakRateUnit StandardLitresPerMonth(StandardCondition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        return new("std l/month", $"({condition.Standard})", One.StandardLitresPerMonth(condition));
    }

    /// <summary>Symbol and condition.</summary>
    public override string ToString() => Condition.Length == 0 ? Symbol : $"{Symbol} {Condition}";

    private static string At(GasTemperature temperature) => temperature.Kelvins > 0
        ? string.Create(CultureInfo.InvariantCulture, $"at {temperature.DegreesCelsius:0.######} degrees C")
        : throw new ArgumentOutOfRangeException(nameof(temperature), temperature, "State the temperature of the gas that the rate is counted at.");
}
