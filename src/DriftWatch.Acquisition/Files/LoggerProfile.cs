using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>How a logger writes its CSV files. The defaults read the files of the sample plant.</summary>
public sealed record LoggerProfile
{
    /// <summary>Header of the time column; default <c>time</c>.</summary>
    public string TimeHeader { get; init; } = "time";

    /// <summary>
    /// Header of a column with the date, where the time column holds the time of day only; default none. The two are read as
    /// one text with a blank between.
    /// </summary>
    public string? DateHeader { get; init; }

    /// <summary>
    /// Format of the time as .NET writes it, such as <c>dd.MM.yyyy HH:mm:ss</c>, or <c>epochSeconds</c> or
    /// <c>epochMilliseconds</c>; default none: RFC 3339. A format without an offset needs <see cref="Zone"/>.
    /// </summary>
    public string? TimeFormat { get; init; }

    /// <summary>
    /// Zone of times that carry no offset; default none. In the hour that the clock goes through twice, the earlier
    /// instant is taken that does not run backwards in the file.
    /// </summary>
    public TimeZoneInfo? Zone { get; init; }

    /// <summary>Header of the column with the vessel id; default none: the file is named after its vessel.</summary>
    public string? VesselHeader { get; init; }

    /// <summary>
    /// Ids of the vessels by the words in the vessel column; default none: the column holds the ids. Words that are not among
    /// them are taken as ids.
    /// </summary>
    public IReadOnlyDictionary<string, string> Vessels { get; init; } = new Dictionary<string, string>(StringComparer.Ordinal);

    /// <summary>Line of the header; default 1, 1 to 40. What stands above it is passed over.</summary>
    public int HeaderLine { get; init; } = 1;

    /// <summary>Rows between the header and the first reading, such as a row of units; default 0, 0 to 10.</summary>
    public int RowsAfterHeader { get; init; }

    /// <summary>What stands in a cell when the sensor has failed, such as <c>-9999</c> or <c>ERR</c>; default none.</summary>
    public IReadOnlyList<string> ErrorCodes { get; init; } = [];

    /// <summary>Whether the bytes are ISO 8859-1, one a character; default false: UTF-8, or UTF-16 by its mark.</summary>
    public bool Latin1 { get; init; }

    /// <summary>The columns read; others are passed over.</summary>
    public IReadOnlyList<LoggerColumn> Columns { get; init; } =
    [
        new("gas_pressure_bar", Signal.GasPressure, "bar"),
        new("gas_temperature_C", Signal.GasTemperature, "Cel"),
        new("fluid_pressure_bar", Signal.FluidPressure, "bar"),
        new("released", Signal.Depressurised, ""),
    ];

    /// <summary>Separator of the columns; default none: guessed from the header.</summary>
    public char? Separator { get; init; }

    /// <summary>Whether numbers are written with a decimal comma; default none: guessed from the first rows.</summary>
    public bool? DecimalComma { get; init; }

    /// <summary>Throws where the profile contradicts itself, naming all that is wrong.</summary>
    /// <exception cref="ArgumentException">The profile is no good.</exception>
    public void Validate()
    {
        List<string> faults = [];
        if (string.IsNullOrWhiteSpace(TimeHeader))
        {
            faults.Add($"{nameof(TimeHeader)} is empty; name the time column.");
        }

        if (!LoggerTimeFormat.NamesInstant(TimeFormat) && Zone is null)
        {
            faults.Add($"{nameof(TimeFormat)} '{TimeFormat}' has no offset; give the {nameof(Zone)} of the logger's clock.");
        }

        if (LoggerTimeFormat.NamesInstant(TimeFormat) && Zone is not null)
        {
            faults.Add(TimeFormat is null
                ? $"{nameof(Zone)} is given without {nameof(TimeFormat)}; RFC 3339 carries its own offset."
                : $"{nameof(Zone)} is given, and {nameof(TimeFormat)} '{TimeFormat}' names the instant without it; remove one.");
        }

        if (DateHeader is not null && TimeFormat is (null or LoggerTimeFormat.EpochSeconds or LoggerTimeFormat.EpochMilliseconds))
        {
            faults.Add($"{nameof(DateHeader)} needs a {nameof(TimeFormat)} for date and time with a blank between, such as 'dd.MM.yyyy HH:mm:ss'.");
        }

        if (HeaderLine is < 1 or > 40)
        {
            faults.Add(FormattableString.Invariant($"{nameof(HeaderLine)} is {HeaderLine}; allowed is 1 to 40."));
        }

        if (RowsAfterHeader is < 0 or > 10)
        {
            faults.Add(FormattableString.Invariant($"{nameof(RowsAfterHeader)} is {RowsAfterHeader}; allowed is 0 to 10."));
        }

        if (ErrorCodes.Any(string.IsNullOrWhiteSpace))
        {
            faults.Add($"{nameof(ErrorCodes)} holds a blank; an empty cell is no reading anyway.");
        }

        if (VesselHeader is not null && Columns.Any(column => column.Vessel is not null))
        {
            faults.Add($"Both {nameof(VesselHeader)} and a column name the vessel; leave one of them.");
        }

        if (Columns.Count == 0)
        {
            faults.Add($"{nameof(Columns)} is empty; name at least one column.");
        }

        foreach (LoggerColumn column in Columns)
        {
            SourceQuantity? quantity = column.Signal switch
            {
                Signal.GasPressure or Signal.FluidPressure => SourceQuantity.Pressure,
                Signal.GasTemperature => SourceQuantity.Temperature,
                _ => null,
            };
            if (quantity is null ? column.Unit.Length > 0 : !SourceUnit.TryFind(column.Unit, out SourceUnit? unit) || unit.Quantity != quantity)
            {
                faults.Add($"Column '{column.Header}' gives {column.Signal} in '{column.Unit}', which is no unit for it.");
            }
        }

        if (Columns.Select(column => column.Header.Trim()).Distinct(StringComparer.OrdinalIgnoreCase).Count() < Columns.Count)
        {
            faults.Add($"{nameof(Columns)} names a header twice.");
        }

        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(" ", faults));
        }
    }
}
