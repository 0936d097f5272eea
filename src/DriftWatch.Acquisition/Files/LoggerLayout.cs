using System.Buffers;

namespace DriftWatch.Acquisition.Files;

/// <summary>Separator and decimal sign of a logger file: as the profile says, or guessed from the first lines.</summary>
/// <param name="Separator">Separator of the columns.</param>
/// <param name="DecimalComma">Whether numbers have a decimal comma.</param>
/// <param name="QuotedSeparators">
/// Whether quotes protect separators. Where they need not, quotes part nothing, so that one left open loses no rows.
/// </param>
public readonly record struct LoggerLayout(char Separator, bool DecimalComma, bool QuotedSeparators)
{
    private const int LinesLookedAt = 100;
    private static readonly char[] Separators = [';', '\t', ',', '|'];
    private static readonly SearchValues<char> NumberCharacters = SearchValues.Create("0123456789+-eE., ");

    /// <summary>Finds out how the file is laid out.</summary>
    /// <param name="text">The file from its beginning.</param>
    /// <param name="profile">What is known already.</param>
    public static LoggerLayout Find(TextReader text, LoggerProfile profile)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(profile);
        List<string> lines = [];
        while (lines.Count < LinesLookedAt && text.ReadLine() is { } line)
        {
            lines.Add(line);
        }

        // The one that parts the header into the most columns; the first of the list where none does.
        string header = lines.ElementAtOrDefault(profile.HeaderLine - 1) ?? "";
        char separator = profile.Separator ?? Separators.MaxBy(candidate => header.AsSpan().Count(candidate));
        bool quoted = lines.Any(line => HasQuotedSeparator(line, separator));
        bool comma = profile.DecimalComma ?? HasDecimalComma(lines.Skip(profile.HeaderLine), separator, quoted);
        return new LoggerLayout(separator, comma, quoted);
    }

    private static bool HasQuotedSeparator(string line, char separator)
    {
        bool inside = false;
        bool found = false;
        foreach (char c in line)
        {
            if (c == '"')
            {
                inside = !inside;
            }
            else
            {
                found |= inside && c == separator;
            }
        }

        // A quote left open protects nothing.
        return found && !inside;
    }

    /// <summary>A comma inside a number, and a point inside none; what has two points is a date.</summary>
    private static bool HasDecimalComma(IEnumerable<string> lines, char separator, bool quoted)
    {
        bool comma = false;
        foreach (string line in lines)
        {
            foreach (string cell in quoted ? line.Split('"') : line.Split(separator))
            {
                ReadOnlySpan<char> number = cell.AsSpan().Trim('"').Trim();
                if (number.IsEmpty || number.ContainsAnyExcept(NumberCharacters) || !number.ContainsAnyInRange('0', '9'))
                {
                    continue;
                }

                if (number.Count('.') == 1 && !number.Contains(','))
                {
                    return false;
                }

                // Outside quotes a comma that separates columns is no decimal sign.
                comma |= number.Count(',') == 1 && number[0] != ',' && number[^1] != ',' && (separator != ',' || quoted);
            }
        }

        return comma;
    }
}
