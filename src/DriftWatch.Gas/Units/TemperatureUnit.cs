using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>A unit in which temperatures are shown and read at the edges; inside everything is K. Conversion by UnitsNet.</summary>
public sealed record TemperatureUnit
{
    private readonly UnitsNet.Units.TemperatureUnit _unit;

    private TemperatureUnit(string symbol, UnitsNet.Units.TemperatureUnit unit, IReadOnlyList<string> otherNames)
    {
        Symbol = symbol;
        _unit = unit;
        OtherNames = otherNames;
    }

    /// <summary>Degrees Celsius.</summary>
    public static TemperatureUnit DegreesCelsius { get; } =
        new("°C", UnitsNet.Units.TemperatureUnit.DegreeCelsius, ["degrees C", "degree C", "deg C", "degC", "C"]);

    /// <summary>Degrees Fahrenheit.</summary>
    public static TemperatureUnit DegreesFahrenheit { get; } =
        new("°F", UnitsNet.Units.TemperatureUnit.DegreeFahrenheit, ["degrees F", "degree F", "deg F", "degF", "F"]);

    /// <summary>Kelvin.</summary>
    public static TemperatureUnit Kelvin { get; } = new("K", UnitsNet.Units.TemperatureUnit.Kelvin, ["kelvin", "kelvins"]);

    /// <summary>All units.</summary>
    public static IReadOnlyList<TemperatureUnit> All { get; } = [DegreesCelsius, DegreesFahrenheit, Kelvin];

    /// <summary>Symbol of the unit, as written.</summary>
    public string Symbol { get; }

    /// <summary>Other spellings that are read.</summary>
    internal IReadOnlyList<string> OtherNames { get; }

    /// <summary>The unit of a symbol or one of its other spellings, such as '°F' or 'degrees F'.</summary>
    /// <exception cref="FormatException">No such unit.</exception>
    public static TemperatureUnit FromSymbol(string symbol) => All.FirstOrDefault(u => u.Symbol == symbol || u.OtherNames.Contains(symbol))
        ?? throw new FormatException($"'{symbol}' is no unit of temperature. Use one of {string.Join(", ", All.Select(u => u.Symbol))}.");

    /// <summary>The number of this unit for a temperature.</summary>
    public double From(GasTemperature temperature) => UnitsNet.Temperature.FromKelvins(temperature.Kelvins).As(_unit);

    /// <summary>The temperature of a number of this unit.</summary>
    /// <param name="number">Number in this unit; the temperature must lie in 1 to 2000 K.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public GasTemperature ToTemperature(double number) => GasTemperature.FromKelvins(UnitsNet.Temperature.From(number, _unit).Kelvins);

    /// <summary>The symbol.</summary>
    public override string ToString() => Symbol;
}
