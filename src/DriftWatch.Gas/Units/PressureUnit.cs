namespace DriftWatch.Gas.Units;

/// <summary>
/// A unit in which pressures are shown and read at the edges; inside everything is Pa. Factors from UnitsNet (exact by definition: psi
/// from pound, inch and standard gravity; kgf/cm2 98 066.5 Pa).
/// </summary>
public sealed record PressureUnit
{
    private PressureUnit(string symbol, UnitsNet.Units.PressureUnit unit, int decimals)
    {
        Symbol = symbol;
        PascalsPerUnit = UnitsNet.Pressure.From(1, unit).Pascals;
        Decimals = decimals;
    }

    /// <summary>Pascal.</summary>
    public static PressureUnit Pascal { get; } = new("Pa", UnitsNet.Units.PressureUnit.Pascal, 0);

    /// <summary>Kilopascal.</summary>
    public static PressureUnit Kilopascal { get; } = new("kPa", UnitsNet.Units.PressureUnit.Kilopascal, 0);

    /// <summary>Megapascal.</summary>
    public static PressureUnit Megapascal { get; } = new("MPa", UnitsNet.Units.PressureUnit.Megapascal, 2);

    /// <summary>Bar.</summary>
    public static PressureUnit Bar { get; } = new("bar", UnitsNet.Units.PressureUnit.Bar, 1);

    /// <summary>Pound-force per square inch.</summary>
    public static PressureUnit Psi { get; } = new("psi", UnitsNet.Units.PressureUnit.PoundForcePerSquareInch, 0);

    /// <summary>Kilogram-force per square centimetre (technical atmosphere).</summary>
    public static PressureUnit KilogramForcePerSquareCentimetre { get; } =
        new("kgf/cm2", UnitsNet.Units.PressureUnit.KilogramForcePerSquareCentimeter, 1);

    /// <summary>All units.</summary>
    public static IReadOnlyList<PressureUnit> All { get; } = [Bar, Kilopascal, Megapascal, Pascal, Psi, KilogramForcePerSquareCentimetre];

    /// <summary>Symbol of the unit, as written and read.</summary>
    public string Symbol { get; }

    /// <summary>Pa in one of the unit.</summary>
    public double PascalsPerUnit { get; }

    /// <summary>Decimals that show a tenth of a bar or better, without pretending to more.</summary>
    public int Decimals { get; }

    /// <summary>The last place of <see cref="Decimals"/>, Pa: a half-width that rounds to less would claim too much.</summary>
    public double SmallestShownPa => PascalsPerUnit * Math.Pow(10, -Decimals);

    /// <summary>The unit of a symbol such as 'psi'; upper and lower case count, because mPa is not MPa.</summary>
    /// <exception cref="FormatException">No such unit.</exception>
    public static PressureUnit FromSymbol(string symbol) => All.FirstOrDefault(unit => unit.Symbol == symbol)
        ?? throw new FormatException($"'{symbol}' is no unit of pressure. Use one of {string.Join(", ", All.Select(unit => unit.Symbol))}.");

    /// <summary>The symbol.</summary>
    public override string ToString() => Symbol;
}
