using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>How a logger writes its CSV files. The defaults read the files of the sample plant.</summary>
public sealed record LoggerProfile
{
    /// <summary>Header of the time column; default <c>time</c>.</summary>
    public string TimeHeader { get; init; } = "time";

    /// <summary>
    /// Format of the time as .NET writes it, such as <c>dd.MM.yyyy HH:mm:ss</c>; default none: RFC 3339. A format without an
    /// offset needs <see cref="Zone"/>.
    /// </summary>
    public string? TimeFormat { get; init; }

    /// <summary>
    /// Zone of times that carry no offset; default none. In the hour that the clock goes through twice, the earlier
    /// instant is taken that does not run backwards in the file.
    /// </summary>
    public TimeZoneInfo? Zone { get; init; }

    /// <summary>Header of the column with the vessel id; default none: the file is named after its vessel.</summary>
    public string? VesselHeader { get; init; }

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

        if (TimeFormat is { } format && !format.Contains('z', StringComparison.Ordinal) && Zone is null)
        {
            faults.Add($"{nameof(TimeFormat)} '{format}' has no offset; give the {nameof(Zone)} of the logger's clock.");
        }

        if (TimeFormat is null && Zone is not null)
        {
            faults.Add($"{nameof(Zone)} is given without {nameof(TimeFormat)}; RFC 3339 carries its own offset.");
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
