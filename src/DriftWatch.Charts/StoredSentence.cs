using System.Globalization;
using System.Text.RegularExpressions;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts;

/// <summary>
/// Sentences that are kept as they were said, with pressures in bar (why an alarm came, what a job rests on), for a reader of
/// another unit. A figure keeps what its digits are worth: 52.0 bar are 754 psi and 5.20 MPa.
/// </summary>
public static partial class StoredSentence
{
    private const double BarPa = 1e5;

    /// <summary>The sentence in a unit; numbers culture-invariant.</summary>
    /// <param name="text">A sentence of the program's own.</param>
    /// <param name="unit">The reader's unit.</param>
    public static string In(string text, PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(unit);
        return unit == PressureUnit.Bar
            ? text
            : Pressures().Replace(text, match =>
                $"{Number(match.Groups["first"].Value, unit)}{(match.Groups["join"] is { Success: true } join ? $"{join.Value}{Number(match.Groups["second"].Value, unit)}" : "")} {unit.Symbol}");
    }

    private static string Number(string bar, PressureUnit unit)
    {
        double value = double.Parse(bar, CultureInfo.InvariantCulture) * BarPa / unit.PascalsPerUnit;
        int point = bar.IndexOf('.', StringComparison.Ordinal);
        int decimals = (point < 0 ? 0 : bar.Length - point - 1) + (int)Math.Round(Math.Log10(unit.PascalsPerUnit / BarPa));
        return value.ToString("F" + Math.Clamp(decimals, 0, UnitWords.MostDecimals).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }

    /// <summary>A number, or two that share a unit, in bar or in bar a month; not bar as a part of another unit.</summary>
    [GeneratedRegex(@"(?<![\w.])(?<first>\d+(?:\.\d+)?)(?:(?<join> (?:\+-|to) )(?<second>\d+(?:\.\d+)?))? bar(?=/month|[^\w/]|$)", RegexOptions.CultureInvariant)]
    private static partial Regex Pressures();
}
