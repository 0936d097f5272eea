using System.Globalization;
using System.Text;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>A profile made out from a logger file itself. It is a guess, to be looked at and confirmed before it is used.</summary>
/// <param name="Profile">The profile; null where the file holds nothing that could be read.</param>
/// <param name="Findings">What was found, in words.</param>
/// <param name="Doubts">What the file does not say for sure, and how to settle it.</param>
public sealed record LoggerProfileGuess(LoggerProfile? Profile, IReadOnlyList<string> Findings, IReadOnlyList<string> Doubts)
{
    private const int LinesLookedAt = 100;

    /// <summary>Makes the guess from the first lines of a file.</summary>
    /// <param name="file">A CSV file, plain or gzip.</param>
    /// <param name="register">The vessels, by which names in the file are told.</param>
    /// <param name="zone">Zone of a clock that writes local time; the file does not say it.</param>
    /// <exception cref="IOException">The file cannot be read.</exception>
    /// <exception cref="InvalidDataException">The file cannot be unpacked.</exception>
    public static LoggerProfileGuess Of(string file, VesselRegister register, TimeZoneInfo zone)
    {
        ArgumentException.ThrowIfNullOrEmpty(file);
        ArgumentNullException.ThrowIfNull(register);
        ArgumentNullException.ThrowIfNull(zone);
        List<string> lines = Head(file, latin1: false);
        bool latin1 = lines.Any(line => line.Contains('\uFFFD', StringComparison.Ordinal));
        return new Guesswork(latin1 ? Head(file, latin1: true) : lines, latin1, LoggerFileReader.VesselIdOf(file), register, zone).Run();
    }

    private static List<string> Head(string file, bool latin1)
    {
        using FileStream bytes = File.OpenRead(file);
        using Stream unpacked = LoggerFileReader.Unpacked(file, bytes);
        using StreamReader text = LoggerFileReader.Text(unpacked, latin1);
        List<string> lines = [];
        while (lines.Count < LinesLookedAt && text.ReadLine() is { } line)
        {
            lines.Add(line);
        }

        return lines.Count == 0 && unpacked is TornGzip { Tear: { } tear }
            ? throw new InvalidDataException($"{file} cannot be unpacked: {tear}")
            : lines;
    }

    /// <summary>One guess under way.</summary>
    private sealed class Guesswork(List<string> lines, bool latin1, string fileId, VesselRegister register, TimeZoneInfo zone)
    {
        private static readonly char[] Separators = [';', '\t', ',', '|'];

        private readonly List<string> _findings = [];
        private readonly List<string> _doubts = [];
        private List<(int Line, string[] Cells)> _rows = [];
        private string[] _header = [];

        public LoggerProfileGuess Run()
        {
            char separator = FindTable();
            int headerAt = _rows.FindIndex(row => row.Cells.Count(LooksLikeData) * 2 <= row.Cells.Length && row.Cells.Any(cell => cell.Any(char.IsLetter)));
            if (headerAt < 0 || headerAt + 1 >= _rows.Count)
            {
                return new LoggerProfileGuess(null, _findings, ["no header with rows below it was found; a table with one header line and a column for the time is needed"]);
            }

            _header = _rows[headerAt].Cells;
            int headerLine = _rows[headerAt].Line;
            int dataAt = _rows.FindIndex(headerAt + 1, row => row.Cells.Any(cell => cell.Any(char.IsAsciiDigit) && LooksLikeTime(cell)));
            if (dataAt < 0)
            {
                return new LoggerProfileGuess(null, _findings, ["no column holds times; name the time column in a profile of your own"]);
            }

            string[][] between = [.. _rows[(headerAt + 1)..dataAt].Select(row => row.Cells)];
            string[][] data = [.. _rows[dataAt..].Select(row => row.Cells)];
            LoggerProfile profile = new()
            {
                Separator = separator,
                HeaderLine = headerLine,
                RowsAfterHeader = _rows[dataAt].Line - headerLine - 1,
                Latin1 = latin1,
            };
            profile = profile with { DecimalComma = LoggerLayout.Find(new StringReader(string.Join('\n', lines)), profile).DecimalComma };
            _findings.Add($"separator {Name(separator)}, decimal {(profile.DecimalComma == true ? "comma" : "point")}{(latin1 ? ", bytes in ISO 8859-1" : "")}");
            _findings.Add($"header in line {headerLine}, first reading in line {_rows[dataAt].Line}");
            if (WithTime(profile, data) is not { } timed || WithColumns(timed, between, data) is not { } whole)
            {
                return new LoggerProfileGuess(null, _findings, _doubts);
            }

            whole = WithErrorCodes(whole, data);
            try
            {
                whole.Validate();
            }
            catch (ArgumentException exception)
            {
                // A header that is blank or stands there twice cannot be named in a profile.
                return new LoggerProfileGuess(null, _findings, [.. _doubts, $"what was found makes no profile: {exception.Message}"]);
            }

            return new LoggerProfileGuess(whole, _findings, _doubts);
        }

        /// <summary>The separator that parts most lines into the same number of columns, and the most of them; then the rows with that number.</summary>
        private char FindTable()
        {
            (char Separator, int Columns, int Lines) best = (';', 0, 0);
            foreach (char candidate in Separators)
            {
                var counts = lines.Where(line => !string.IsNullOrWhiteSpace(line)).GroupBy(line => Split(line, candidate).Length).Where(group => group.Key > 1);
                if (counts.MaxBy(group => (group.Count(), group.Key)) is { } most && (most.Count(), most.Key).CompareTo((best.Lines, best.Columns)) > 0)
                {
                    best = (candidate, most.Key, most.Count());
                }
            }

            _rows = [.. lines.Select((line, at) => (Line: at + 1, Cells: Split(line, best.Separator))).Where(row => row.Cells.Length == best.Columns)];
            return best.Separator;
        }

        private LoggerProfile? WithTime(LoggerProfile profile, string[][] data)
        {
            int time = IndexOf(column => Has(_header[column], "timestamp", "zeitstempel", "datetime") && FormatsOf(data, column).Count > 0)
                ?? IndexOf(column => Has(_header[column], "time", "zeit", "uhrzeit", "date", "datum") && FormatsOf(data, column).Count > 0)
                ?? IndexOf(column => FormatsOf(data, column).Count > 0)
                ?? -1;
            if (time >= 0)
            {
                List<string?> formats = FormatsOf(data, time);
                string? format = formats[0];
                _findings.Add($"time in column '{_header[time]}', written as {format ?? "RFC 3339"}");
                Doubt(formats);
                return Zoned(profile with { TimeHeader = _header[time], TimeFormat = format });
            }

            int? date = IndexOf(column => All(data, column, cell => LoggerTimeGuess.DateFormats.Any(format => Parses(cell, format))));
            int? clock = IndexOf(column => All(data, column, cell => LoggerTimeGuess.ClockFormats.Any(format => Parses(cell, format))));
            if (date is null || clock is null)
            {
                _doubts.Add("no column holds times in a form known here; name column and format in a profile of your own");
                return null;
            }

            List<string?> joined = [.. LoggerTimeGuess.DateFormats.SelectMany(_ => LoggerTimeGuess.ClockFormats, (day, hour) => $"{day} {hour}")
                .Where(format => data.All(row => Blank(row[date.Value]) || Parses($"{row[date.Value]} {row[clock.Value]}", format)))];
            if (joined.Count == 0)
            {
                _doubts.Add("date and time are written in more than one way; make them one");
                return null;
            }

            _findings.Add($"date in column '{_header[date.Value]}', time of day in '{_header[clock.Value]}', together {joined[0]}");
            Doubt(joined);
            return Zoned(profile with { DateHeader = _header[date.Value], TimeHeader = _header[clock.Value], TimeFormat = joined[0] });
        }

        private void Doubt(List<string?> formats)
        {
            if (formats.Count > 1)
            {
                _doubts.Add($"the first rows read by {string.Join(" and by ", formats.Select(format => $"'{format ?? "RFC 3339"}'"))} alike; set timeFormat to the right one");
            }
        }

        private LoggerProfile Zoned(LoggerProfile profile)
        {
            if (LoggerTimeFormat.NamesInstant(profile.TimeFormat))
            {
                return profile;
            }

            _doubts.Add($"the times carry no offset; {zone.Id} is taken for the logger's clock, set zone if that is wrong (UTC for a clock that is never put forward)");
            return profile with { Zone = zone };
        }

        private LoggerProfile? WithColumns(LoggerProfile profile, string[][] between, string[][] data)
        {
            List<LoggerColumn> columns = [];
            for (int column = 0; column < _header.Length; column++)
            {
                if (Blank(_header[column]) || _header[column] == profile.TimeHeader || _header[column] == profile.DateHeader)
                {
                    continue;
                }

                string unitRow = between.Select(row => row[column]).FirstOrDefault(cell => !Blank(cell)) ?? "";
                if (LoggerColumnGuess.Of(_header[column], unitRow) is not { } guess)
                {
                    continue;
                }

                string? vessel = register.Vessels.Select(candidate => candidate.Id).Where(id => Has(_header[column], id)).MaxBy(id => id.Length);
                columns.Add(new LoggerColumn(_header[column], guess.Signal, guess.Unit, vessel));
                _findings.Add($"column '{_header[column]}' is {guess.Signal}{(guess.Unit.Length > 0 ? $" in {guess.Unit}" : "")}{(vessel is null ? "" : $" of vessel {vessel}")}");
                if (guess.Doubt is not null)
                {
                    _doubts.Add($"column '{_header[column]}': {guess.Doubt}");
                }
            }

            if (columns.Count == 0)
            {
                _doubts.Add($"no column is known for a signal; the header has: {string.Join(", ", _header)}");
                return null;
            }

            foreach (IGrouping<(Signal, string?), LoggerColumn> same in columns.GroupBy(column => (column.Signal, column.Vessel)).Where(same => same.Count() > 1))
            {
                _doubts.Add($"columns {string.Join(" and ", same.Select(column => $"'{column.Header}'"))} are both taken for {same.Key.Item1}; leave the right one, or name their vessels");
            }

            profile = profile with { Columns = columns };
            int? vessels = IndexOf(column => All(data, column, cell => register.Find(cell) is not null));
            if (columns.All(column => column.Vessel is not null))
            {
                return profile;
            }

            if (vessels is { } at)
            {
                _findings.Add($"vessel ids in column '{_header[at]}'");
                return profile with { VesselHeader = _header[at], Columns = [.. columns.Select(column => column with { Vessel = null })] };
            }

            if (register.Find(fileId) is null)
            {
                _doubts.Add($"neither file name nor columns name a vessel of the register; name the file <vessel id>.csv, or set \"vessel\" at the columns");
            }

            return profile;
        }

        /// <summary>Texts in columns of numbers, and the round numbers that loggers write for a broken wire.</summary>
        private LoggerProfile WithErrorCodes(LoggerProfile profile, string[][] data)
        {
            CultureInfo culture = profile.DecimalComma == true ? LoggerFileReader.DecimalComma : CultureInfo.InvariantCulture;
            int[] columns = [.. profile.Columns.Where(column => column.Unit.Length > 0).Select(column => Array.IndexOf(_header, column.Header))];
            string[] codes = [.. data.SelectMany(row => columns.Select(column => row[column]))
                .Where(cell => !Blank(cell) && (!double.TryParse(cell, NumberStyles.Float, culture, out double number) || number is -9999 or -999 or -99999 or 9999 or 99999 or 32767 or -32768))
                .Distinct(StringComparer.OrdinalIgnoreCase).Order(StringComparer.Ordinal).Take(10)];
            if (codes.Length == 0)
            {
                return profile;
            }

            _findings.Add($"cells taken for sensor errors: {string.Join(", ", codes.Select(code => $"'{code}'"))}");
            return profile with { ErrorCodes = codes };
        }

        private static List<string?> FormatsOf(string[][] data, int column) => LoggerTimeGuess.FormatsOf(data.Select(row => row[column]).Where(cell => !Blank(cell)));

        private int? IndexOf(Func<int, bool> fits)
        {
            for (int column = 0; column < _header.Length; column++)
            {
                if (fits(column))
                {
                    return column;
                }
            }

            return null;
        }

        private static bool All(string[][] data, int column, Func<string, bool> fits) =>
            data.Any(row => !Blank(row[column])) && data.All(row => Blank(row[column]) || fits(row[column]));

        private static bool Parses(string cell, string format) =>
            DateTime.TryParseExact(cell, format, CultureInfo.InvariantCulture, DateTimeStyles.None, out _);

        private static bool Has(string header, params ReadOnlySpan<string> words)
        {
            foreach (string word in words)
            {
                if (header.Contains(word, StringComparison.OrdinalIgnoreCase))
                {
                    return true;
                }
            }

            return false;
        }

        private static bool Blank(string cell) => string.IsNullOrWhiteSpace(cell);

        private static bool LooksLikeData(string cell) => cell.Length > 0 && (char.IsAsciiDigit(cell[0]) || (cell.Length > 1 && cell[0] is '-' or '+' && char.IsAsciiDigit(cell[1])));

        private static bool LooksLikeTime(string cell) => LoggerTimeGuess.FormatsOf([cell]).Count > 0
            || LoggerTimeGuess.DateFormats.Any(format => Parses(cell, format)) || LoggerTimeGuess.ClockFormats.Any(format => Parses(cell, format));

        private static string Name(char separator) => separator == '\t' ? "tab" : $"'{separator}'";

        private static string[] Split(string line, char separator)
        {
            List<string> cells = [];
            StringBuilder cell = new();
            bool inside = false;
            foreach (char c in line.TrimStart('\uFEFF'))
            {
                if (c == '"')
                {
                    inside = !inside;
                }
                else if (c == separator && !inside)
                {
                    cells.Add(cell.ToString().Trim());
                    cell.Clear();
                }
                else
                {
                    cell.Append(c);
                }
            }

            cells.Add(cell.ToString().Trim());
            return [.. cells];
        }
    }
}
