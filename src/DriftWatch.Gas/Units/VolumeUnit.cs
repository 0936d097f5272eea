namespace DriftWatch.Gas.Units;

/// <summary>
/// A unit in which gas volumes are shown and read at the edges; inside everything is m3. Factors from UnitsNet (exact by definition: inch
/// 25.4 mm, US gallon 231 cubic inches).
/// </summary>
public sealed record VolumeUnit
{
    private VolumeUnit(string symbol, UnitsNet.Units.VolumeUnit unit, int decimals, IReadOnlyList<string> otherNames)
    {
        Symbol = symbol;
        CubicMetresPerUnit = UnitsNet.Volume.From(1, unit).CubicMeters;
        Decimals = decimals;
        OtherNames = otherNames;
    }

    /// <summary>Litre.</summary>
    public static VolumeUnit Litre { get; } = new("l", UnitsNet.Units.VolumeUnit.Liter, 2, ["L", "litre", "litres", "liter", "liters"]);

    /// <summary>Cubic metre.</summary>
    public static VolumeUnit CubicMetre { get; } = new("m3", UnitsNet.Units.VolumeUnit.CubicMeter, 5, ["m³"]);

    /// <summary>US liquid gallon.</summary>
    public static VolumeUnit UsGallon { get; } = new("US gal", UnitsNet.Units.VolumeUnit.UsGallon, 2, ["US gallon", "US gallons", "gal (US)"]);

    /// <summary>Cubic inch.</summary>
    public static VolumeUnit CubicInch { get; } = new("in3", UnitsNet.Units.VolumeUnit.CubicInch, 0, ["in³", "cu in", "cubic inch", "cubic inches"]);

    /// <summary>All units.</summary>
    public static IReadOnlyList<VolumeUnit> All { get; } = [Litre, CubicMetre, UsGallon, CubicInch];

    /// <summary>Symbol of the unit, as written.</summary>
    public string Symbol { get; }

    /// <summary>m3 in one of the unit.</summary>
    public double CubicMetresPerUnit { get; }

    /// <summary>Decimals that show some 10 ml.</summary>
    public int Decimals { get; }

    /// <summary>Other spellings that are read.</summary>
    internal IReadOnlyList<string> OtherNames { get; }

    /// <summary>The unit of a symbol or one of its other spellings, such as 'US gal'.</summary>
    /// <exception cref="FormatException">No such unit.</exception>
    public static VolumeUnit FromSymbol(string symbol) => All.FirstOrDefault(u => u.Symbol == symbol || u.OtherNames.Contains(symbol))
        ?? throw new FormatException($"'{symbol}' is no unit of volume. Use one of {string.Join(", ", All.Select(u => u.Symbol))}.");

    /// <summary>The symbol.</summary>
    public override string ToString() => Symbol;
}
