using System.Globalization;

namespace DriftWatch.Charts;

/// <summary>A pressure unit as a reader sees it: its size, its symbol, and how many digits are worth showing.</summary>
public readonly record struct PressureScale(double PascalsPerUnit, string Symbol, string NumberFormat)
{
    // 1 lb = 0.453 592 37 kg and 1 in = 0.0254 m are exact (NIST SP 811, appendix B), g_n = 9.806 65 m/s2 (3rd CGPM).
    private const double PascalsPerPsi = 0.45359237 * 9.80665 / (0.0254 * 0.0254);

    /// <summary>The scale of a unit.</summary>
    public static PressureScale Of(PressureUnit unit) => unit switch
    {
        PressureUnit.Bar => new(1e5, "bar", "0.##"),
        PressureUnit.Megapascal => new(1e6, "MPa", "0.###"),
        PressureUnit.Kilopascal => new(1e3, "kPa", "0"),
        PressureUnit.Psi => new(PascalsPerPsi, "psi", "0.#"),
        _ => throw new ArgumentOutOfRangeException(nameof(unit), unit, "Pressure unit is not one of bar, MPa, kPa, psi."),
    };

    /// <summary>A pressure or pressure difference in this unit.</summary>
    public double FromPascals(double pascals) => pascals / PascalsPerUnit;

    /// <summary>A value in this unit with its symbol.</summary>
    public string Text(double value) => $"{value.ToString(NumberFormat, CultureInfo.InvariantCulture)} {Symbol}";

    /// <summary>A pressure as a number to the digits worth showing, without its symbol; never a negative zero.</summary>
    public string Number(double pascals) => Plain(FromPascals(pascals), PascalsPerUnit >= 1e6 ? "0.00" : PascalsPerUnit >= 1e5 ? "0.0" : "0");

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
