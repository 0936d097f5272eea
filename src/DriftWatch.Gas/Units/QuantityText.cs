using System.Globalization;
using System.Text.RegularExpressions;

namespace DriftWatch.Gas.Units;

/// <summary>
/// Reading and writing a number with its unit. Data are read culture-invariant: a comma is refused, because it means a decimal here and
/// a thousand there. Pages may write in the reader's format.
/// </summary>
internal static partial class QuantityText
{
    /// <summary>Splits a text into its number and the words after it.</summary>
    public static (double Number, string Words) Split(string text, string what, string example)
    {
        ArgumentNullException.ThrowIfNull(text);
        Match match = Pattern().Match(text);
        if (!match.Success)
        {
            throw Refuse(text, what, "it starts with no number", example);
        }

        string words = Spaces().Replace(match.Groups[2].Value, " ");
        if (words.StartsWith(',') || words.StartsWith('.'))
        {
            throw Refuse(text, what, "its number is written with a comma or two points; write a point before decimals and nothing else", example);
        }

        return (double.Parse(match.Groups[1].Value, NumberStyles.Float, CultureInfo.InvariantCulture), words);
    }

    /// <summary>The error for a text that is not understood.</summary>
    public static FormatException Refuse(string text, string what, string reason, string example) =>
        new($"'{text}' is no {what}: {reason}. Write it like '{example}'.");

    /// <summary>A number with fixed decimals; no minus before zero.</summary>
    public static string Fixed(double value, int decimals, IFormatProvider culture)
    {
        string format = string.Create(CultureInfo.InvariantCulture, $"F{decimals}");
        return (Math.Round(value, decimals, MidpointRounding.AwayFromZero) + 0.0).ToString(format, culture);
    }

    [GeneratedRegex(@"^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$", RegexOptions.CultureInvariant)]
    private static partial Regex Pattern();

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant)]
    private static partial Regex Spaces();
}
