using System.Globalization;
using System.Text;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Tests.Files;

/// <summary>Profiles: written and read as JSON, guessed from files as loggers write them, and used.</summary>
public sealed class LoggerProfileTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2025, 12, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly VesselRegister Register = TestRegister.Of(TestRegister.Vessel("A1", "works/a1"), TestRegister.Vessel("A2", "works/a2"));

    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-profile-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Preamble, units in a row of their own, decimal comma, degree sign in ISO 8859-1, local time, a broken wire.</summary>
    private const string GermanLogger = """
        Logger 7 Halle 2
        Seriennummer;4711

        Datum;Uhrzeit;Gasdruck;Gastemperatur;Systemdruck;drucklos
        ;;[bar];[°C];[bar];
        03.06.2025;09:30:00;101,5;20,25;0,1;1
        03.06.2025;09:40:00;101,4;---;0,2;1
        03.06.2025;09:50:00;-9999;20,5;;0
        """;

    [Fact]
    public void A_file_as_a_logger_writes_it_is_made_out_and_read()
    {
        string file = Write("A1.csv", GermanLogger, Encoding.Latin1);
        LoggerProfileGuess guess = LoggerProfileGuess.Of(file, Register, Berlin);
        LoggerProfile profile = guess.Profile!;
        Assert.Equal(("Datum", "Uhrzeit", "dd.MM.yyyy HH:mm:ss"), (profile.DateHeader, profile.TimeHeader, profile.TimeFormat));
        Assert.Equal((';', true, 4, 1, true), (profile.Separator, profile.DecimalComma, profile.HeaderLine, profile.RowsAfterHeader, profile.Latin1));
        Assert.Equal(
            [
                new LoggerColumn("Gasdruck", Signal.GasPressure, "bar"), new LoggerColumn("Gastemperatur", Signal.GasTemperature, "Cel"),
                new LoggerColumn("Systemdruck", Signal.FluidPressure, "bar"), new LoggerColumn("drucklos", Signal.Depressurised, ""),
            ],
            profile.Columns);
        Assert.Equal(["---", "-9999"], profile.ErrorCodes);
        Assert.Contains(guess.Doubts, doubt => doubt.Contains("Europe/Berlin is taken", StringComparison.Ordinal));

        (string[] lines, List<RejectedRow> rejected) = Read(file, profile);

        // Central European summer time is two hours ahead of UTC.
        Assert.Equal(
            [
                "A1 GasPressure 2025-06-03T07:30:00Z 10150000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.4",
                "A1 FluidPressure 2025-06-03T07:30:00Z 10000", "A1 Depressurised 2025-06-03T07:30:00Z 1",
                "A1 GasPressure 2025-06-03T07:40:00Z 10140000", "A1 FluidPressure 2025-06-03T07:40:00Z 20000",
                "A1 Depressurised 2025-06-03T07:40:00Z 1",
                "A1 GasTemperature 2025-06-03T07:50:00Z 293.65", "A1 Depressurised 2025-06-03T07:50:00Z 0",
            ],
            lines);
        Assert.Equal([(7, "column 'Gastemperatur': '---' says that the sensor has failed"), (8, "column 'Gasdruck': '-9999' says that the sensor has failed")],
            rejected.Select(row => (row.Line, row.Reason)));
    }

    [Fact]
    public void A_guess_written_and_read_again_reads_the_same()
    {
        string file = Write("A1.csv", GermanLogger, Encoding.Latin1);
        LoggerProfile profile = LoggerProfileGuess.Of(file, Register, Berlin).Profile!;
        LoggerProfile again = LoggerProfileJson.Read(LoggerProfileJson.Write(profile));
        Assert.Equal(LoggerProfileJson.Write(profile), LoggerProfileJson.Write(again));
        Assert.Equal(Read(file, profile).Lines, Read(file, again).Lines);
    }

    [Theory]
    [InlineData("time,gas_pressure_bar,gas_temperature_C\n2025-06-03T07:30:00Z,101.5,20\n", null, "time")]
    [InlineData("Timestamp\tGas P (kPa)\tGas T (degF)\n2025-06-03 07:30:00\t10150\t68\n", "yyyy-MM-dd HH:mm:ss", "Timestamp")]
    [InlineData("\"Date/Time\",\"N2 pressure [psi]\",\"N2 temp [K]\"\n\"06/23/2025 7:30 AM\",\"1472.1\",\"293.15\"\n", "MM/dd/yyyy h:mm tt", "Date/Time")]
    [InlineData("unix;gas bar;gas °C\n1748935800;101.5;20\n1748935860;101.5;20\n", "epochSeconds", "unix")]
    public void Many_ways_of_writing_are_made_out(string text, string? format, string timeHeader)
    {
        string file = Write("A1.csv", text);
        LoggerProfileGuess guess = LoggerProfileGuess.Of(file, Register, TimeZoneInfo.Utc);
        Assert.Equal((format, timeHeader), (guess.Profile?.TimeFormat, guess.Profile?.TimeHeader));
        (string[] lines, List<RejectedRow> rejected) = Read(file, guess.Profile!);
        Assert.Empty(rejected);

        // The same state in each: 101.5 bar is 10150 kPa and 1472.1 psi; 20 degrees C is 68 degrees F and 293.15 K.
        Assert.Equal(101.5e5, Value(lines[0]), 500.0);
        Assert.Equal(293.15, Value(lines[1]), 1e-6);
    }

    [Fact]
    public void Days_and_months_that_may_be_either_are_a_doubt()
    {
        string file = Write("A1.csv", "time,gas [bar]\n03/06/2025 07:30:00,100\n");
        LoggerProfileGuess guess = LoggerProfileGuess.Of(file, Register, TimeZoneInfo.Utc);
        Assert.Equal("dd/MM/yyyy HH:mm:ss", guess.Profile!.TimeFormat);
        Assert.Contains(guess.Doubts, doubt => doubt.Contains("'dd/MM/yyyy HH:mm:ss'", StringComparison.Ordinal) && doubt.Contains("'MM/dd/yyyy HH:mm:ss'", StringComparison.Ordinal));
    }

    [Fact]
    public void Several_vessels_stand_side_by_side_or_below_each_other()
    {
        string wide = Write("hall.csv", "time;A1 gas [bar];A1 gas T [°C];A2 gas [bar]\n2025-06-03T07:30:00Z;101,5;20;99,5\n");
        LoggerProfile profile = LoggerProfileGuess.Of(wide, Register, TimeZoneInfo.Utc).Profile!;
        Assert.Equal(["A1", "A1", "A2"], profile.Columns.Select(column => column.Vessel));
        Assert.Equal(
            ["A1 GasPressure 2025-06-03T07:30:00Z 10150000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.15", "A2 GasPressure 2025-06-03T07:30:00Z 9950000"],
            Read(wide, profile).Lines);

        string tall = Write("export.csv", "time,vessel,gas [bar]\n2025-06-03T07:30:00Z,A1,101.5\n2025-06-03T07:30:00Z,A2,99.5\n");
        profile = LoggerProfileGuess.Of(tall, Register, TimeZoneInfo.Utc).Profile!;
        Assert.Equal("vessel", profile.VesselHeader);
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10150000", "A2 GasPressure 2025-06-03T07:30:00Z 9950000"], Read(tall, profile).Lines);

        string channels = Write("channels.csv", "time,channel,gas\n2025-06-03T07:30:00Z,K1,101.5\n2025-06-03T07:30:00Z,A2,99.5\n");
        profile = LoggerProfileJson.Read("""
            { "vesselHeader": "channel", "vessels": { "K1": "A1" }, "columns": [ { "header": "gas", "signal": "gasPressure", "unit": "bar" } ] }
            """);
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10150000", "A2 GasPressure 2025-06-03T07:30:00Z 9950000"], Read(channels, profile).Lines);
    }

    [Theory]
    [InlineData("")]
    [InlineData("only text\nand more\n")]
    [InlineData("a;b\n1;2\n3;4\n")]
    [InlineData("\0\0\0;\0\n\uFFFD")]
    public void What_is_no_logger_file_gives_doubts_and_no_profile(string text)
    {
        LoggerProfileGuess guess = LoggerProfileGuess.Of(Write("A1.csv", text), Register, TimeZoneInfo.Utc);
        Assert.Null(guess.Profile);
        Assert.NotEmpty(guess.Doubts);
    }

    [Theory]
    [InlineData("no JSON", "cannot be read")]
    [InlineData("{}", "columns")]
    [InlineData("""{ "columns": [], "colour": 1 }""", "colour")]
    [InlineData("""{ "columns": [ { "header": "a", "signal": "gasPressure", "unit": "Cel" } ] }""", "no unit for it")]
    [InlineData("""{ "columns": [ { "header": "a", "signal": "humidity" } ] }""", "cannot be read")]
    [InlineData("""{ "timeFormat": "HH:mm", "zone": "Mars/Olympus", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "zone that is not known")]
    [InlineData("""{ "separator": ";;", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "one character is needed")]
    [InlineData("""{ "encoding": "ebcdic", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "allowed are utf-8 and latin1")]
    [InlineData("""{ "headerLine": 0, "rowsAfterHeader": 11, "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "RowsAfterHeader is 11; allowed is 0 to 10")]
    [InlineData("""{ "dateHeader": "d", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "DateHeader needs a TimeFormat")]
    [InlineData("""{ "timeFormat": "epochSeconds", "zone": "UTC", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar" } ] }""", "names the instant without it")]
    [InlineData("""{ "vesselHeader": "v", "columns": [ { "header": "a", "signal": "gasPressure", "unit": "bar", "vessel": "A1" } ] }""", "name the vessel")]
    public void A_profile_that_is_no_good_is_refused_with_the_reason(string json, string reason) =>
        Assert.Contains(reason, Assert.Throws<InvalidDataException>(() => LoggerProfileJson.Read(json)).Message, StringComparison.Ordinal);

    [Fact]
    public void The_published_schema_takes_what_is_written_and_knows_every_field()
    {
        string schema = File.ReadAllText(Path.Combine(Root(), "docs", "schema", "logger-profile.schema.json"));
        using System.Text.Json.JsonDocument document = System.Text.Json.JsonDocument.Parse(schema);
        string full = LoggerProfileJson.Write(new LoggerProfile
        {
            DateHeader = "d",
            TimeFormat = "dd.MM.yyyy HH:mm",
            Zone = Berlin,
            VesselHeader = "v",
            Separator = ';',
            DecimalComma = true,
            HeaderLine = 2,
            RowsAfterHeader = 1,
            ErrorCodes = ["-9999"],
            Latin1 = true,
            Vessels = new Dictionary<string, string> { ["K1"] = "A1" },
        });
        using System.Text.Json.JsonDocument written = System.Text.Json.JsonDocument.Parse(full);
        string[] known = [.. document.RootElement.GetProperty("properties").EnumerateObject().Select(field => field.Name)];
        Assert.Equal(known.Where(name => name != "$schema").Order(), written.RootElement.EnumerateObject().Select(field => field.Name).Order());
    }

    private static string Root()
    {
        DirectoryInfo folder = new(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "DriftWatch.sln")))
        {
            folder = folder.Parent!;
        }

        return folder.FullName;
    }

    private static double Value(string line) => double.Parse(line.Split(' ')[3], CultureInfo.InvariantCulture);

    private static (string[] Lines, List<RejectedRow> Rejected) Read(string file, LoggerProfile profile)
    {
        List<RejectedRow> rejected = [];
        string[] lines = [.. new LoggerFileReader(Register, profile).Read(file, Now, rejected.Add).Select(reading => string.Create(
            CultureInfo.InvariantCulture,
            $"{reading.VesselId} {reading.Reading.Signal} {reading.Reading.Instant.UtcDateTime:yyyy-MM-ddTHH:mm:ss.FFFFFFFZ} {reading.Reading.Value:0.######}"))];
        return (lines, rejected);
    }

    private string Write(string name, string text, Encoding? encoding = null)
    {
        string file = Path.Combine(_folder, name);
        File.WriteAllText(file, text, encoding ?? new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
        return file;
    }
}
