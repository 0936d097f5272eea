using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts;

/// <summary>A pressure unit on a chart or in a table: its size, its symbol, and how many digits are worth showing.</summary>
/// <param name="Unit">The unit.</param>
public readonly record struct PressureScale(PressureUnit Unit)
{
    /// <summary>Symbol of the unit.</summary>
    public string Symbol => Unit.Symbol;

    private string NumberFormat => Unit.Decimals == 0 ? (Unit == PressureUnit.Psi ? "0.#" : "0") : "0." + new string('#', Unit.Decimals + 1);

    /// <summary>A pressure or pressure difference in this unit.</summary>
    public double FromPascals(double pascals) => pascals / Unit.PascalsPerUnit;

    /// <summary>A value in this unit that was chosen by people (a limit) with its symbol, to two digits more than a tenth of a bar at most.</summary>
    public string Text(double value) => $"{value.ToString(NumberFormat, CultureInfo.InvariantCulture)} {Symbol}";

    /// <summary>A pressure as a number to the digits worth showing, without its symbol; never a negative zero.</summary>
    public string Number(double pascals) => UnitWords.Fixed(FromPascals(pascals), Unit.Decimals);

    /// <summary>A rate of change of pressure as a number to three significant digits at least; never a negative zero.</summary>
    public string Rate(double pascals)
    {
        double value = FromPascals(pascals);
        return UnitWords.Fixed(value, Math.Abs(value) < 0.0995 ? 3 : Math.Abs(value) < 9.95 ? 2 : 1);
    }

    /// <summary>A rate with the half-width of its interval, both to the digits that the half-width is worth.</summary>
    public string RateWithHalfWidth(double pascals, double halfWidthPascals)
    {
        double half = FromPascals(halfWidthPascals);
        int decimals = half > 0 && double.IsFinite(half) ? UnitWords.DecimalsOf(half) : 3;
        return $"{UnitWords.Fixed(FromPascals(pascals), decimals)} +- {UnitWords.Fixed(half, decimals)}";
    }
}
