using System.Globalization;
using System.IO.Compression;
using System.Text;
using CsCheck;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Tests.Files;

public sealed class LoggerFileReaderTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2025, 7, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly VesselRegister Register = TestRegister.Of(TestRegister.Vessel("A1", "works/a1"), TestRegister.GasSideOnly("A2"));

    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-logger-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void The_sample_format_is_read_without_a_profile()
    {
        (string[] lines, List<RejectedRow> rejected) = Read("A1.csv", """
            time,gas_pressure_bar,gas_temperature_C,fluid_pressure_bar,released
            2025-06-03T07:30:00Z,101.5,20.0,0.1,1
            2025-06-03T07:40:00Z,,20.5,,0

            2025-06-03T09:50:00+02:00,101.4,20.25,-0.2,1
            """);
        Assert.Equal(
            [
                "A1 GasPressure 2025-06-03T07:30:00Z 10150000",
                "A1 GasTemperature 2025-06-03T07:30:00Z 293.15",
                "A1 FluidPressure 2025-06-03T07:30:00Z 10000",
                "A1 Depressurised 2025-06-03T07:30:00Z 1",
                "A1 GasTemperature 2025-06-03T07:40:00Z 293.65",
                "A1 Depressurised 2025-06-03T07:40:00Z 0",
                "A1 GasPressure 2025-06-03T07:50:00Z 10140000",
                "A1 GasTemperature 2025-06-03T07:50:00Z 293.4",
                "A1 FluidPressure 2025-06-03T07:50:00Z -20000",
                "A1 Depressurised 2025-06-03T07:50:00Z 1",
            ],
            lines);
        Assert.Empty(rejected);
    }

    [Fact]
    public void A_row_that_cannot_be_read_is_rejected_with_its_line_and_the_rest_is_taken()
    {
        (string[] lines, List<RejectedRow> rejected) = Read("A1.csv", """
            time,gas_pressure_bar,gas_temperature_C
            2025-06-03T07:30:00Z,101.5,20.0
            2025-06-03T07:40:00,101.5,20.0
            yesterday,101.5,20.0
            2025-06-03T07:50:00Z,ERR,20.0
            2025-06-03T08:00:00Z,9999,NaN
            2025-06-03T08:10:00Z
            2025-08-03T08:10:00Z,101.5,
            2025-06-03T08:20:00Z,101.5,20.0,7,8
            """);
        Assert.Equal(
            [
                "A1 GasPressure 2025-06-03T07:30:00Z 10150000",
                "A1 GasTemperature 2025-06-03T07:30:00Z 293.15",
                "A1 GasTemperature 2025-06-03T07:50:00Z 293.15",
                "A1 GasPressure 2025-06-03T08:20:00Z 10150000",
                "A1 GasTemperature 2025-06-03T08:20:00Z 293.15",
            ],
            lines);
        Assert.Equal([3, 4, 5, 6, 6, 8], rejected.Select(row => row.Line));
        Assert.Equal("the time 'yesterday' names no instant; RFC 3339 with an offset is read, like 2025-06-03T07:30:00Z", rejected[1].Reason);
        Assert.Equal("yesterday,101.5,20.0", rejected[1].Text);
        Assert.Equal("column 'gas_pressure_bar': 'ERR' is no number", rejected[2].Reason);
        Assert.StartsWith("column 'gas_pressure_bar': 9999 bar lies outside the range", rejected[3].Reason, StringComparison.Ordinal);
        Assert.StartsWith("column 'gas_temperature_C': NaN Cel lies outside the range", rejected[4].Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("time;gas_pressure_bar;gas_temperature_C\n2025-06-03T07:30:00Z;101,5;20,25\n")]
    [InlineData("time;gas_pressure_bar;gas_temperature_C\n2025-06-03T07:30:00Z;101.5;20.25\n")]
    [InlineData("time\tgas_pressure_bar\tgas_temperature_C\r\n2025-06-03T07:30:00Z\t101,5\t20,25\r\n")]
    [InlineData("time|gas_pressure_bar|gas_temperature_C\n2025-06-03T07:30:00Z|101.5|20.25")]
    [InlineData("\"time\",\"gas_pressure_bar\",\"gas_temperature_C\"\n\"2025-06-03T07:30:00Z\",\"101,5\",\"20,25\"\n")]
    [InlineData("\"time\",\"gas_pressure_bar\",\"gas_temperature_C\"\n\"2025-06-03T07:30:00Z\",\"101.5\",\"20.25\"\n")]
    [InlineData(" Time , GAS_PRESSURE_BAR , gas_temperature_c , spare \n2025-06-03T07:30:00Z , 101.5 , 20.25 , x \n")]
    [InlineData("\uFEFFtime,gas_pressure_bar,gas_temperature_C\n2025-06-03T07:30:00Z,101.5,20.25\n")]
    public void Separator_decimal_sign_quotes_blanks_and_byte_order_mark_are_found_out(string text)
    {
        string[] expected = ["A1 GasPressure 2025-06-03T07:30:00Z 10150000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.4"];
        (string[] lines, List<RejectedRow> rejected) = Read("A1.csv", text);
        Assert.Equal(expected, lines);
        Assert.Empty(rejected);
        (lines, _) = Read("A1.csv", text.TrimStart('\uFEFF'), encoding: Encoding.Unicode);
        Assert.Equal(expected, lines);
    }

    [Fact]
    public void A_quote_left_open_loses_no_other_row()
    {
        (string[] lines, List<RejectedRow> rejected) = Read("A1.csv", """
            time,gas_pressure_bar,note
            2025-06-03T07:30:00Z,101.5,"left open
            2025-06-03T07:40:00Z,101.4,
            """);
        Assert.Equal(2, lines.Length);
        Assert.Empty(rejected);
    }

    /// <summary>Wherever it is torn: whole rows before the tear, no half number, and the tear told.</summary>
    [Fact]
    public void A_short_gzip_file_torn_anywhere_gives_the_rows_before_the_tear()
    {
        string file = Path.Combine(_folder, "A1.csv.gz");
        using (GZipStream gzip = new(File.Create(file), CompressionLevel.Fastest))
        {
            gzip.Write(Encoding.UTF8.GetBytes("time,gas_pressure_bar\n" + string.Concat(Enumerable.Range(0, 60).Select(row => string.Create(
                CultureInfo.InvariantCulture, $"{Now.AddMinutes(row - 60):yyyy-MM-ddTHH:mm:ssZ},{100 + (row * 7919 % 1000 / 1000.0)}\n")))));
        }

        byte[] whole = File.ReadAllBytes(file);
        (string[] lines, List<RejectedRow> rejected) = Read(file);
        Assert.Equal((60, 0), (lines.Length, rejected.Count));
        int most = 0;
        for (int length = 0; length < whole.Length; length++)
        {
            File.WriteAllBytes(file, whole[..length]);
            (string[] some, rejected) = Read(file);
            Assert.Equal(lines[..some.Length], some);
            Assert.Equal(0, Assert.Single(rejected).Line);
            most = Math.Max(most, some.Length);
        }

        Assert.True(most > 50, $"{most} of 60 rows at most");
    }

    [Fact]
    public void A_gzip_file_is_read_and_a_torn_one_up_to_the_tear()
    {
        string rows = string.Concat(Enumerable.Range(0, 20_000).Select(row => string.Create(
            CultureInfo.InvariantCulture, $"{Now.AddSeconds(row - 20_000):yyyy-MM-ddTHH:mm:ssZ},{100 + (row * 7919 % 1000 / 1000.0)}\n")));
        string file = Path.Combine(_folder, "A1.csv.gz");
        using (GZipStream gzip = new(File.Create(file), CompressionLevel.Fastest))
        {
            gzip.Write(Encoding.UTF8.GetBytes("time,gas_pressure_bar\n" + rows));
        }

        (string[] lines, List<RejectedRow> rejected) = Read(file);
        Assert.Equal(20_000, lines.Length);
        Assert.Empty(rejected);

        byte[] whole = File.ReadAllBytes(file);
        File.WriteAllBytes(file, whole[..(whole.Length / 2)]);
        (string[] some, rejected) = Read(file);
        Assert.InRange(some.Length, 1, 19_999);
        Assert.Equal(lines[..some.Length], some);
        Assert.Contains("the file cannot be read beyond line", Assert.Single(rejected, row => row.Line == 0).Reason, StringComparison.Ordinal);

        byte[] spoilt = [.. whole];
        for (int at = whole.Length / 2; at < (whole.Length / 2) + 64; at++)
        {
            spoilt[at] ^= 0x5A;
        }

        File.WriteAllBytes(file, spoilt);
        (_, rejected) = Read(file);
        Assert.NotEmpty(rejected);
    }

    [Theory]
    [InlineData("A1.csv", "", "the file is empty")]
    [InlineData("A1.csv", "a,b\n1,2\n", "there is no column 'time' for the time; the header has: a, b")]
    [InlineData("A1.csv", "time,b\n1,2\n", "there is no column with a signal (gas_pressure_bar, gas_temperature_C, fluid_pressure_bar, released); the header has: time, b")]
    [InlineData("B7.csv", "time,gas_pressure_bar\n", "vessel 'B7', after which the file is named, is not in the register; name the file <vessel id>.csv")]
    public void A_file_that_cannot_be_read_is_rejected_once(string name, string text, string reason)
    {
        (string[] lines, List<RejectedRow> rejected) = Read(name, text);
        Assert.Empty(lines);
        RejectedRow row = Assert.Single(rejected);
        Assert.Equal(0, row.Line);
        Assert.Equal(reason, row.Reason);
    }

    [Fact]
    public void Columns_without_a_sensor_in_the_register_are_left_out_and_told_once()
    {
        (string[] lines, List<RejectedRow> rejected) = Read("A2.csv", """
            time,gas_pressure_bar,fluid_pressure_bar
            2025-06-03T07:30:00Z,101.5,0
            2025-06-03T07:40:00Z,101.5,0
            """);
        Assert.Equal(2, lines.Length);
        Assert.Contains("'fluid_pressure_bar' is left out", Assert.Single(rejected).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void One_file_may_hold_several_vessels()
    {
        LoggerProfile profile = new()
        {
            VesselHeader = "vessel",
            Columns = [new("P", Signal.GasPressure, "psi"), new("closed", Signal.Depressurised, "")],
        };
        (string[] lines, List<RejectedRow> rejected) = Read("export.csv", """
            time,vessel,P,closed
            2025-06-03T07:30:00Z,A1,1450.377,true
            2025-06-03T07:30:00Z,A2,1450.377,false
            2025-06-03T07:30:00Z,A3,1450.377,
            """, profile);

        // 100 bar / (6894.757 Pa / psi) = 1450.377 psi, to 7 figures (NIST SP 811).
        Assert.Equal(["A1 GasPressure", "A1 Depressurised", "A2 GasPressure"], lines.Select(line => string.Join(' ', line.Split(' ')[..2])));
        Assert.Equal(1e7, double.Parse(lines[0].Split(' ')[3], CultureInfo.InvariantCulture), 5.0);
        Assert.Equal([0, 4], rejected.Select(row => row.Line));
        Assert.Equal("vessel 'A3' is not in the register", rejected[1].Reason);
    }

    /// <summary>Central Europe, 26 October 2025: at 03:00 summer time the clock goes back to 02:00 (EU directive 2000/84/EC).</summary>
    [Fact]
    public void Local_times_become_instants_through_the_hour_that_comes_twice()
    {
        LoggerProfile profile = new()
        {
            TimeFormat = "dd.MM.yyyy HH:mm",
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin"),
            Columns = [new("T", Signal.GasTemperature, "Cel")],
        };
        (string[] lines, List<RejectedRow> rejected) = Read("A1.csv", """
            time;T
            30.03.2025 02:30;20
            26.10.2025 01:30;20
            26.10.2025 02:00;20
            26.10.2025 02:30;20
            26.10.2025 02:00;20
            26.10.2025 02:30;20
            26.10.2025 03:00;20
            """, profile, now: new DateTimeOffset(2025, 12, 1, 0, 0, 0, TimeSpan.Zero));
        Assert.Equal(
            ["2025-10-25T23:30:00Z", "2025-10-26T00:00:00Z", "2025-10-26T00:30:00Z", "2025-10-26T01:00:00Z", "2025-10-26T01:30:00Z", "2025-10-26T02:00:00Z"],
            lines.Select(line => line.Split(' ')[2]));
        RejectedRow row = Assert.Single(rejected);
        Assert.Equal(2, row.Line);
        Assert.Contains("does not exist in Europe/Berlin", row.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_gives_its_logger_files_by_name()
    {
        foreach (string name in (string[])["A2.csv.gz", "A1.csv", "notes.txt", "B.CSV"])
        {
            File.WriteAllText(Path.Combine(_folder, name), "");
        }

        Assert.Equal(["A1.csv", "A2.csv.gz", "B.CSV"], LoggerFileReader.FilesOf(_folder).Select(Path.GetFileName));
        Assert.Equal(["A1", "A2", "B"], LoggerFileReader.FilesOf(_folder).Select(LoggerFileReader.VesselIdOf));
        Assert.Throws<FileNotFoundException>(() => LoggerFileReader.FilesOf(Path.Combine(_folder, "missing")));
    }

    [Fact]
    public void Progress_ends_at_the_size_of_the_file()
    {
        string file = Write("A1.csv", "time,gas_pressure_bar\n" + string.Concat(Enumerable.Repeat("2025-06-03T07:30:00Z,100\n", 50_000)));
        List<long> told = [];
        LoggerFileReader reader = new(Register);
        Assert.Equal(50_000, reader.Read(file, Now, _ => Assert.Fail("no row is bad"), new Told(told)).Count());
        Assert.Equal(new FileInfo(file).Length, told[^1]);
        Assert.Equal(told.Order(), told);
    }

    [Fact]
    public void A_profile_that_contradicts_itself_is_refused_with_all_its_faults()
    {
        LoggerProfile profile = new() { TimeHeader = "", TimeFormat = "yyyy", Columns = [new("a", Signal.GasPressure, "Cel"), new("A", Signal.GasPressure, "bar")] };
        ArgumentException exception = Assert.Throws<ArgumentException>(profile.Validate);
        Assert.Equal(
            "TimeHeader is empty; name the time column. TimeFormat 'yyyy' has no offset; give the Zone of the logger's clock. "
            + "Column 'a' gives GasPressure in 'Cel', which is no unit for it. Columns names a header twice.",
            exception.Message);
    }

    [Fact]
    public void Spoilt_files_never_throw()
    {
        const string Good = "time;gas_pressure_bar;gas_temperature_C;released\n2025-06-03T07:30:00Z;101,5;20,25;1\r\n\"2025-06-03T07:31:00Z\";\"1,5\";;true\n";
        string file = Path.Combine(_folder, "A1.csv");
        LoggerFileReader reader = new(Register);
        Gen.Select(Gen.Int[0, Good.Length - 1], Gen.Byte, Gen.Int[0, Good.Length - 1], Gen.Int[0, 20]).Sample(
            (at, put, from, cut) =>
            {
                List<byte> bytes = [.. Encoding.UTF8.GetBytes(Good)];
                bytes[at] = put;
                bytes.RemoveRange(from, Math.Min(cut, bytes.Count - from));
                File.WriteAllBytes(file, [.. bytes]);
                return reader.Read(file, Now, _ => { }).All(reading => double.IsFinite(reading.Reading.Value));
            },
            iter: 2_000,
            threads: 1);
    }

    private (string[] Lines, List<RejectedRow> Rejected) Read(
        string name, string text, LoggerProfile? profile = null, DateTimeOffset? now = null, Encoding? encoding = null) =>
        Read(Write(name, text, encoding), profile, now);

    private static (string[] Lines, List<RejectedRow> Rejected) Read(string file, LoggerProfile? profile = null, DateTimeOffset? now = null)
    {
        List<RejectedRow> rejected = [];
        IEnumerable<VesselReading> readings = new LoggerFileReader(Register, profile).Read(file, now ?? Now, rejected.Add);
        string[] lines = [.. readings.Select(reading => string.Create(
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

    private sealed class Told(List<long> told) : IProgress<long>
    {
        public void Report(long value) => told.Add(value);
    }
}
