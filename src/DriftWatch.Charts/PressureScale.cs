using System.Globalization;

namespace DriftWatch.Charts;

/// <summary>A pressure unit as a reader sees it: its size, its symbol, and how many digits are worth showing.</summary>
internal readonly record struct PressureScale(double PascalsPerUnit, string Symbol, string NumberFormat)
{
    // 1 lb = 0.453 592 37 kg and 1 in = 0.0254 m are exact (NIST SP 811, appendix B), g_n = 9.806 65 m/s2 (3rd CGPM).
    private const double PascalsPerPsi = 0.45359237 * 9.80665 / (0.0254 * 0.0254);

    public static PressureScale Of(PressureUnit unit) => unit switch
    {
        PressureUnit.Bar => new(1e5, "bar", "0.##"),
        PressureUnit.Megapascal => new(1e6, "MPa", "0.###"),
        PressureUnit.Kilopascal => new(1e3, "kPa", "0"),
        PressureUnit.Psi => new(PascalsPerPsi, "psi", "0.#"),
        _ => throw new ArgumentOutOfRangeException(nameof(unit), unit, "Pressure unit is not one of bar, MPa, kPa, psi."),
    };

    public double FromPascals(double pascals) => pascals / PascalsPerUnit;

    public string Text(double value) => $"{value.ToString(NumberFormat, CultureInfo.InvariantCulture)} {Symbol}";
}
