using System.Globalization;
using CsCheck;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Tests.Files;

/// <summary>
/// Central Europe, 26 October 2025: at 03:00 summer time (01:00 UTC) the clock goes back to 02:00 (EU directive 2000/84/EC).
/// The local times of the tests come from that sentence, not from the system's table of zones.
/// </summary>
public sealed class DoubledHourTests : IDisposable
{
    private static readonly DateTimeOffset PutBack = new(2025, 10, 26, 1, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset Now = new(2025, 12, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly VesselRegister Register = TestRegister.Of(TestRegister.Vessel("A1", "works/a1"), TestRegister.GasSideOnly("A2"));

    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-clock-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_file_with_the_newest_row_first_keeps_all_its_instants()
    {
        DateTimeOffset[] instants = Every(10, -120, 60);
        Assert.Equal(19, instants.Length);
        (VesselReading[] readings, List<RejectedRow> rejected) = Read([.. instants.Reverse().Select((instant, row) => Row(instant, "A1", row))]);
        Assert.Equal(instants, readings.Select(reading => reading.Reading.Instant).Order());
        Assert.Equal(18, Assert.Single(readings, reading => reading.Reading.Instant == instants[0]).Reading.Value - 273.15, 1e-9);
        Assert.Empty(rejected);
    }

    [Fact]
    public void A_second_vessel_that_begins_within_the_hour_has_a_clock_of_its_own()
    {
        DateTimeOffset[] first = Every(10, -120, 60);
        DateTimeOffset[] second = Every(10, -60, 60);
        Assert.Equal(13, second.Length);
        (VesselReading[] readings, List<RejectedRow> rejected) = Read(
            [.. first.Select((instant, row) => Row(instant, "A1", row)), .. second.Select((instant, row) => Row(instant, "A2", row))]);
        Assert.Equal(first, Of("A1", readings));
        Assert.Equal(second, Of("A2", readings));
        Assert.Empty(rejected);

        // The same with the rows of both by turns.
        (readings, rejected) = Read([.. first.SelectMany(instant => instant < second[0]
            ? [Row(instant, "A1", 1)]
            : (string[])[Row(instant, "A1", 1), Row(instant, "A2", 2)])]);
        Assert.Equal(first, Of("A1", readings));
        Assert.Equal(second, Of("A2", readings));
        Assert.Empty(rejected);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_hourly_logger_has_two_rows_of_one_time(bool newestFirst)
    {
        DateTimeOffset[] instants = Every(60, -180, 180);
        (VesselReading[] readings, List<RejectedRow> rejected) = Read([.. Ordered(instants, newestFirst).Select(instant => Row(instant, "A1", 20))]);
        Assert.Equal(instants, Of("A1", readings));
        Assert.Empty(rejected);
    }

    [Fact]
    public void Rows_that_come_twice_are_the_same_reading()
    {
        DateTimeOffset[] instants = Every(10, -120, 60);
        (VesselReading[] readings, List<RejectedRow> rejected) = Read([.. instants.SelectMany((instant, row) => Enumerable.Repeat(Row(instant, "A1", row), 2))]);
        Assert.Equal(instants, Of("A1", readings));
        Assert.Equal(2 * instants.Length, readings.Length);
        Assert.Empty(rejected);
    }

    [Fact]
    public void An_hour_of_which_one_pass_is_there_is_taken_and_the_doubt_told()
    {
        DateTimeOffset[] instants = [.. Every(10, -120, 60).Where(instant => instant < PutBack || instant >= PutBack.AddHours(1))];
        (VesselReading[] readings, List<RejectedRow> rejected) = Read([.. instants.Select((instant, row) => Row(instant, "A1", row))]);
        Assert.Equal(instants, Of("A1", readings));
        RejectedRow doubt = Assert.Single(rejected);
        Assert.True(doubt.Taken);
        Assert.Equal(8, doubt.Line); // the header, and six rows from 01:00 to 01:50
        Assert.Contains("to line 13 the times name two instants each", doubt.Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false, 0)]
    [InlineData(true, 0)]
    [InlineData(false, 60)]
    [InlineData(true, 60)]
    public void A_row_out_of_order_does_not_begin_the_second_pass_without_a_doubt(bool newestFirst, int goesOnFor)
    {
        // The first pass only: the logger stops before the clock is put back, or comes back after the second pass.
        List<DateTimeOffset> instants = [.. Every(1, -120, -1), .. Every(1, 60, 60 + goesOnFor).Take(goesOnFor)];
        (instants[75], instants[76]) = (instants[76], instants[75]);
        (VesselReading[] readings, List<RejectedRow> rejected) = Read(
            [.. Ordered([.. instants], newestFirst).Select((instant, row) => Row(instant, "A1", row % 50))]);
        Assert.Equal(instants.Count, readings.Length);
        if (goesOnFor == 0)
        {
            Assert.Equal(instants.Order(), Of("A1", readings));
            Assert.Empty(rejected);
        }
        else
        {
            Assert.True(Assert.Single(rejected).Taken);
        }
    }

    [Fact]
    public void Other_values_at_one_instant_are_rejected_with_their_line()
    {
        DateTimeOffset[] instants = Every(10, -120, 60);
        List<string> rows = [.. instants.Select((instant, row) => Row(instant, "A1", row))];
        rows.Insert(9, Row(instants[8], "A1", 99)); // 02:20 summer time once more, in line 11
        (VesselReading[] readings, List<RejectedRow> rejected) = Read(rows);
        Assert.Equal(instants, Of("A1", readings));
        RejectedRow row = Assert.Single(rejected);
        Assert.Equal((11, false), (row.Line, row.Taken));
        Assert.StartsWith("GasTemperature of A1: line 10 has another value at the same instant", row.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void No_reading_is_lost_and_a_wrong_hour_is_never_taken_without_a_word() =>
        Gen.Select(Gen.Int[1, 60], Gen.Int[-150, 50], Gen.Int[1, 200], Gen.Bool).Sample(
            (step, from, count, newestFirst) =>
            {
                DateTimeOffset[] instants = [.. Enumerable.Range(0, count).Select(row => PutBack.AddMinutes(from + (row * step)))];
                (VesselReading[] readings, List<RejectedRow> rejected) = Read(
                    [.. Ordered(instants, newestFirst).Select((instant, row) => Row(instant, "A1", row % 50))]);
                Assert.Equal(count, readings.Select(reading => reading.Reading.Instant).Distinct().Count());
                Assert.DoesNotContain(rejected, row => !row.Taken);
                Assert.True(rejected.Count > 0 || instants.SequenceEqual(Of("A1", readings)), "a wrong hour without a doubt");
            },
            iter: 500,
            threads: 1);

    private static DateTimeOffset[] Every(int minutes, int from, int to) =>
        [.. Enumerable.Range(0, ((to - from) / minutes) + 1).Select(step => PutBack.AddMinutes(from + (step * minutes)))];

    private static IEnumerable<DateTimeOffset> Ordered(DateTimeOffset[] instants, bool newestFirst) =>
        newestFirst ? Enumerable.Reverse(instants) : instants;

    private static string Row(DateTimeOffset instant, string vessel, double celsius) => string.Create(
        CultureInfo.InvariantCulture, $"{instant.UtcDateTime.AddHours(instant < PutBack ? 2 : 1):dd.MM.yyyy HH:mm};{vessel};{celsius}");

    private static DateTimeOffset[] Of(string vessel, IEnumerable<VesselReading> readings) =>
        [.. readings.Where(reading => reading.VesselId == vessel).Select(reading => reading.Reading.Instant).Distinct().Order()];

    private (VesselReading[] Readings, List<RejectedRow> Rejected) Read(IEnumerable<string> rows)
    {
        LoggerProfile profile = new()
        {
            TimeFormat = "dd.MM.yyyy HH:mm",
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin"),
            VesselHeader = "vessel",
            Columns = [new("T", Signal.GasTemperature, "Cel")],
        };
        string file = Path.Combine(_folder, "export.csv");
        File.WriteAllLines(file, ["time;vessel;T", .. rows]);
        List<RejectedRow> rejected = [];
        return ([.. new LoggerFileReader(Register, profile).Read(file, Now, rejected.Add)], rejected);
    }
}
