using System.Globalization;
using DriftWatch.Gas.Units;

namespace DriftWatch.Trends.Verdicts;

/// <summary>Pressures and rates as words of one unit, to the digits worth saying; a figure that rounds to nothing has no sign.</summary>
public readonly struct UnitWords(PressureUnit unit)
{
    /// <summary>A unit this many Pa or greater needs one digit more for the same rate.</summary>
    private const double GreatUnitPa = 1e6;

    /// <summary>More digits than these tell nothing apart.</summary>
    public const int MostDecimals = 8;

    /// <summary>A pressure, Pa, without its unit.</summary>
    public string Number(double pascals) => Fixed(pascals / unit.PascalsPerUnit, unit.Decimals);

    /// <summary>A pressure, Pa, with its unit.</summary>
    public string WithUnit(double pascals) => $"{Number(pascals)} {unit.Symbol}";

    /// <summary>The half-width of the interval of a pressure, Pa, with its unit; never nothing, which would claim too much.</summary>
    public string HalfWithUnit(double pascals) => WithUnit(Math.Max(pascals, unit.SmallestShownPa));

    /// <summary>A rate, Pa/s, a month and without its unit.</summary>
    public string Rate(double paPerSecond)
    {
        double rate = paPerSecond * LossRate.SecondsPerMonth / unit.PascalsPerUnit;
        return Fixed(rate, Decimals(rate) + (unit.PascalsPerUnit >= GreatUnitPa ? 1 : 0));
    }

    /// <summary>A rate, Pa/s, a month and with its unit.</summary>
    public string RateWithUnit(double paPerSecond) => $"{Rate(paPerSecond)} {unit.Symbol}/month";

    /// <summary>
    /// A rate with the half-width of its interval, both Pa/s, a month and with their unit: the half-width to two digits, the
    /// rate to the same place (JCGM 100, 7.2.6), so that no interval is rounded to nothing.
    /// </summary>
    public string RateWithInterval(double paPerSecond, double halfWidthPaPerSecond)
    {
        double rate = paPerSecond * LossRate.SecondsPerMonth / unit.PascalsPerUnit;
        double half = halfWidthPaPerSecond * LossRate.SecondsPerMonth / unit.PascalsPerUnit;
        int decimals = half > 0 && double.IsFinite(half) ? DecimalsOf(half) : Decimals(rate);
        return $"{Fixed(rate, decimals)} +- {Fixed(half, decimals)} {unit.Symbol}/month";
    }

    /// <summary>A rate in percent a month.</summary>
    public static string Share(double percentPerMonth) => Fixed(percentPerMonth, Decimals(percentPerMonth));

    private static int Decimals(double rate) => Math.Abs(rate) switch
    {
        < 0.0995 => 3,
        < 99.5 => 2,
        < 995 => 1,
        _ => 0,
    };

    /// <summary>Decimals that show two digits of the half-width of an interval (JCGM 100, 7.2.6).</summary>
    /// <param name="half">The half-width in the unit that is shown, above 0 and finite.</param>
    public static int DecimalsOf(double half) => Math.Clamp(1 - (int)Math.Floor(Math.Log10(half)), 0, MostDecimals);

    /// <summary>A figure to three significant digits and no fewer than its whole ones.</summary>
    public static string ThreeDigits(double value) =>
        Fixed(value, value == 0 ? 0 : Math.Clamp(2 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, MostDecimals));

    /// <summary>A figure to so many decimals; one that rounds to nothing has no sign.</summary>
    public static string Fixed(double value, int decimals)
    {
        string text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text.TrimStart('-') : text;
    }
}
