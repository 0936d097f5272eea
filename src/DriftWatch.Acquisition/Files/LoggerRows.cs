using System.Globalization;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using nietras.SeparatedValues;

namespace DriftWatch.Acquisition.Files;

/// <summary>The rows of one logger file: finds the columns by the header, then turns each row into readings.</summary>
internal sealed class LoggerRows(
    VesselRegister register,
    LoggerProfile profile,
    ReadingDoorOptions door,
    CultureInfo culture,
    string file,
    TornGzip? gzip,
    DateTimeOffset now,
    Action<RejectedRow> reject)
{
    private readonly LoggerClock _clock = new(profile);
    private readonly Dictionary<string, Series> _byVessel = new(StringComparer.Ordinal);
    private readonly LoggerErrorCodes _errorCodes = new(profile.ErrorCodes);
    private readonly List<(int Index, LoggerColumn Column)> _columns = [];
    private Dictionary<string, Series>.AlternateLookup<ReadOnlySpan<char>> _lookup;
    private int _line;
    private bool _unreadable;
    private int _timeIndex = -1;
    private int _dateIndex = -1;
    private int _vesselIndex = -1;
    private Series? _only;

    /// <returns>False, with the reason told, where the file cannot be read.</returns>
    public bool ReadHeader(SepReader rows)
    {
        do
        {
            if (!MoveNext(rows))
            {
                return !_unreadable && Fail(_line == 0 ? "the file is empty" : $"the file ends before line {profile.HeaderLine}, where the header should stand");
            }
        }
        while (_line < profile.HeaderLine);

        SepReader.Row header = rows.Current;
        _lookup = _byVessel.GetAlternateLookup<ReadOnlySpan<char>>();
        List<string> names = [];
        for (int index = 0; index < header.ColCount; index++)
        {
            string name = Bare(header[index]).ToString();
            names.Add(name);
            if (Same(name, profile.TimeHeader))
            {
                _timeIndex = index;
            }
            else if (profile.DateHeader is not null && Same(name, profile.DateHeader))
            {
                _dateIndex = index;
            }
            else if (profile.VesselHeader is not null && Same(name, profile.VesselHeader))
            {
                _vesselIndex = index;
            }
            else if (profile.Columns.FirstOrDefault(column => Same(name, column.Header)) is { } column)
            {
                _columns.Add((index, column));
            }
        }

        for (int skipped = 0; skipped < profile.RowsAfterHeader; skipped++)
        {
            if (!MoveNext(rows))
            {
                break;
            }
        }

        string found = string.Join(", ", names);
        return (_timeIndex >= 0 || Fail($"there is no column '{profile.TimeHeader}' for the time; the header has: {found}"))
            && (_dateIndex >= 0 || profile.DateHeader is null || Fail($"there is no column '{profile.DateHeader}' for the date; the header has: {found}"))
            && (_columns.Count > 0
                || Fail($"there is no column with a signal ({string.Join(", ", profile.Columns.Select(column => column.Header))}); the header has: {found}"))
            && (profile.VesselHeader is null ? FindOwnVessels()
                : _vesselIndex >= 0 || Fail($"there is no column '{profile.VesselHeader}' for the vessel; the header has: {found}"));
    }

    /// <summary>Reads the next row into the list.</summary>
    /// <returns>False at the end of the file.</returns>
    public bool ReadRow(SepReader rows, List<VesselReading> readings)
    {
        if (!MoveNext(rows))
        {
            _only?.Hour.End(readings);
            foreach (Series series in _byVessel.Values)
            {
                series.Hour.End(readings);
            }

            return false;
        }

        ReadRow(rows.Current, readings);
        return true;
    }

    private bool MoveNext(SepReader rows)
    {
        try
        {
            if (rows.MoveNext())
            {
                _line = rows.Current.LineNumberFrom;
                return true;
            }
        }
        catch (Exception exception) when (exception is InvalidDataException or NotSupportedException)
        {
            // A row without end: what came before it stands.
            EndTooEarly(exception.Message);
        }

        if (gzip?.Tear is { } tear)
        {
            EndTooEarly($"{tear} What stands before is taken: bring the whole file, packed by gzip, or unpacked and without .gz in its name.");
        }

        return false;
    }

    private void EndTooEarly(string why)
    {
        if (!_unreadable)
        {
            _unreadable = true;
            reject(new RejectedRow(file, 0, $"the file cannot be read beyond line {_line}: {why}", ""));
        }
    }

    private void ReadRow(SepReader.Row row, List<VesselReading> readings)
    {
        if (row.ColCount <= 1 && row.Span.IsWhiteSpace())
        {
            return;
        }

        if (_timeIndex >= row.ColCount || _vesselIndex >= row.ColCount || _dateIndex >= row.ColCount)
        {
            Reject(row, $"it has {row.ColCount} columns, too few for time and vessel");
            return;
        }

        if (TryTime(row, out DateTimeOffset instant, out TimeSpan overlap) is { } noTime)
        {
            Reject(row, noTime);
            return;
        }

        if ((_only ?? VesselOf(row)) is not { } series)
        {
            return;
        }

        if (overlap == TimeSpan.Zero)
        {
            series.Hour.Leave(instant, readings);
            ReadCells(row, series.Entries, instant, readings);
            return;
        }

        List<VesselReading> ofRow = [];
        ReadCells(row, series.Entries, instant, ofRow);
        series.Hour.Hold(new(row.LineNumberFrom, Text(row), instant, overlap, [.. ofRow]), readings);
    }

    private void ReadCells(SepReader.Row row, DoorEntry?[] entries, DateTimeOffset instant, List<VesselReading> readings)
    {
        for (int at = 0; at < _columns.Count; at++)
        {
            (int index, LoggerColumn column) = _columns[at];
            if (index >= row.ColCount || entries[at] is not { } entry)
            {
                continue;
            }

            SepReader.Col cell = row[index];
            if (Bare(cell).IsEmpty)
            {
                continue; // no reading at this instant
            }

            VesselReading reading = default;
            string? whyNot = _errorCodes.Holds(Bare(cell)) ? ErrorCode(cell)
                : TryNumber(cell, entry, out double number)
                ? _errorCodes.Holds(number) ? ErrorCode(cell) : entry.TryTake(number, null, instant, now, out reading)
                : NoNumber(cell);
            if (whyNot is null)
            {
                readings.Add(reading);
            }
            else
            {
                Reject(row, $"column '{column.Header}': {whyNot}");
            }
        }
    }

    private string? TryTime(SepReader.Row row, out DateTimeOffset instant, out TimeSpan overlap)
    {
        ReadOnlySpan<char> time = Bare(row[_timeIndex]);
        return _dateIndex < 0
            ? _clock.TryRead(time, out instant, out overlap)
            : _clock.TryRead($"{Bare(row[_dateIndex])} {time}", out instant, out overlap);
    }

    private static string ErrorCode(SepReader.Col cell) => $"'{cell.Span[..Math.Min(cell.Span.Length, 60)]}' says that the sensor has failed";

    private bool TryNumber(SepReader.Col cell, DoorEntry entry, out double number)
    {
        ReadOnlySpan<char> bare = Bare(cell);
        if (bare.Length == cell.Span.Length ? cell.TryParse(out number) : double.TryParse(bare, NumberStyles.Float, culture, out number))
        {
            return true;
        }

        if (entry.Unit is null && (Same(bare, "true") || Same(bare, "false")))
        {
            number = Same(bare, "true") ? 1 : 0;
            return true;
        }

        return false;
    }

    private static string NoNumber(SepReader.Col cell) => $"'{cell.Span[..Math.Min(cell.Span.Length, 60)]}' is no number";

    private Series? VesselOf(SepReader.Row row)
    {
        ReadOnlySpan<char> id = Bare(row[_vesselIndex]);
        if (_lookup.TryGetValue(id, out Series? series))
        {
            return series;
        }

        string word = id.ToString();
        Vessel? vessel = register.Find(profile.Vessels.GetValueOrDefault(word, word));
        if (vessel is null)
        {
            Reject(row, $"vessel '{id[..Math.Min(id.Length, 64)]}' is not in the register");
            return null;
        }

        return _byVessel[word] = SeriesOf(_ => vessel);
    }

    /// <summary>Vessels that the columns name, and for the other columns the vessel that the file is named after.</summary>
    private bool FindOwnVessels()
    {
        Vessel? named = null;
        if (_columns.Any(column => column.Column.Vessel is null))
        {
            string id = LoggerFileReader.VesselIdOf(file);
            named = register.Find(id);
            if (named is null)
            {
                return Fail($"vessel '{id}', after which the file is named, is not in the register; name the file <vessel id>.csv");
            }
        }

        foreach ((int _, LoggerColumn column) in _columns)
        {
            if (column.Vessel is { } vessel && register.Find(vessel) is null)
            {
                return Fail($"vessel '{vessel}' of column '{column.Header}' is not in the register");
            }
        }

        _only = SeriesOf(column => column.Vessel is { } id ? register.Find(id)! : named!);
        return true;
    }

    private Series SeriesOf(Func<LoggerColumn, Vessel> vesselOf) => new(EntriesOf(vesselOf), new DoubledHour(file, reject));

    /// <summary>The way in for each column; null, told once, where the register has no such sensor for the vessel.</summary>
    private DoorEntry?[] EntriesOf(Func<LoggerColumn, Vessel> vesselOf)
    {
        DoorEntry?[] entries = new DoorEntry?[_columns.Count];
        for (int at = 0; at < entries.Length; at++)
        {
            LoggerColumn column = _columns[at].Column;
            Vessel vessel = vesselOf(column);
            bool registered = column.Signal switch
            {
                Signal.FluidPressure => vessel.Specification.FluidPressureSensor is not null,
                Signal.Depressurised => vessel.Specification.HasDepressurisedContact,
                _ => true,
            };
            if (registered)
            {
                entries[at] = new DoorEntry(vessel, column.Signal, column.Unit, door);
            }
            else
            {
                reject(new RejectedRow(
                    file, 0, $"column '{column.Header}' is left out: vessel {vessel.Id} has no sensor for {column.Signal} in the register", ""));
            }
        }

        return entries;
    }

    private bool Fail(string reason)
    {
        reject(new RejectedRow(file, 0, reason, ""));
        return false;
    }

    private void Reject(SepReader.Row row, string reason) =>
        reject(new RejectedRow(file, row.LineNumberFrom, reason, Text(row)));

    private static string Text(SepReader.Row row) => row.Span[..Math.Min(row.Span.Length, 500)].ToString();

    /// <summary>A cell without outer blanks and quotes.</summary>
    private static ReadOnlySpan<char> Bare(SepReader.Col cell) => cell.Span.Trim().Trim('"').Trim();

    private static bool Same(ReadOnlySpan<char> left, ReadOnlySpan<char> right) =>
        left.Trim().Equals(right.Trim(), StringComparison.OrdinalIgnoreCase);

    /// <summary>Rows whose times follow each other: those of one vessel, or all rows where each holds all vessels.</summary>
    /// <param name="Entries">The way in for each column; null where it is left out.</param>
    /// <param name="Hour">Follows the times.</param>
    private sealed record Series(DoorEntry?[] Entries, DoubledHour Hour);
}
