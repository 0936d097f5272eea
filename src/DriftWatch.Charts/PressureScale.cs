using System.Globalization;
using DriftWatch.Gas.Units;

namespace DriftWatch.Charts;

/// <summary>A pressure unit on a chart or in a table: its size, its symbol, and how many digits are worth showing.</summary>
/// <param name="Unit">The unit.</param>
public readonly record struct PressureScale(PressureUnit Unit)
{
    /// <summary>Symbol of the unit.</summary>
    public string Symbol => Unit.Symbol;

    /// <summary>A value that was chosen by people (a limit) with its symbol, to two digits more than a tenth of a bar at most.</summary>
    private string NumberFormat => Unit.Decimals == 0 ? (Unit == PressureUnit.Psi ? "0.#" : "0") : "0." + new string('#', Unit.Decimals + 1);

    /// <summary>A pressure or pressure difference in this unit.</summary>
    public double FromPascals(double pascals) => pascals / Unit.PascalsPerUnit;

    /// <summary>A value in this unit with its symbol.</summary>
    public string Text(double value) => $"{value.ToString(NumberFormat, CultureInfo.InvariantCulture)} {Symbol}";

    /// <summary>A pressure as a number to the digits worth showing, without its symbol; never a negative zero.</summary>
    public string Number(double pascals) => Plain(FromPascals(pascals), Unit.Decimals == 0 ? "0" : "0." + new string('0', Unit.Decimals));

    /// <summary>A rate of change of pressure as a number to three significant digits at least; never a negative zero.</summary>
    public string Rate(double pascals)
    {
        double value = FromPascals(pascals);
        return Plain(value, Math.Abs(value) < 0.0995 ? "0.000" : Math.Abs(value) < 9.95 ? "0.00" : "0.0");
    }

    /// <summary>A rate with the half-width of its interval, both to the digits that the half-width is worth.</summary>
    public string RateWithHalfWidth(double pascals, double halfWidthPascals)
    {
        double half = FromPascals(halfWidthPascals);
        int digits = half > 0 ? (int)Math.Clamp(1 - Math.Floor(Math.Log10(half)), 1, 5) : 3;
        string format = "0." + new string('0', digits);
        return $"{Plain(FromPascals(pascals), format)} +- {Plain(half, format)}";
    }

    /// <summary>Rounding can leave the sign of a value that shows as zero; it says nothing to a reader.</summary>
    private static string Plain(double value, string format)
    {
        string text = value.ToString(format, CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text.TrimStart('-') : text;
    }
}
