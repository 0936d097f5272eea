using System.Globalization;
using System.Text;

namespace DriftWatch.SamplePlant.Tests;

public class SampleFilesTests
{
    private const string Remake = "Remake: dotnet run -c Release --project tests/DriftWatch.SamplePlant -- sample-streams";

    [Theory]
    [InlineData("DC1-A1")]
    [InlineData("DC1-A2")]
    public void A_remade_logger_file_equals_the_one_in_the_repository(string id)
    {
        byte[] remade = Encoding.UTF8.GetBytes(LoggerFile.Text(Find(id), Plant.Seed));
        Assert.True(remade.AsSpan().SequenceEqual(Repository.Decompressed(id + ".csv.gz")), Remake);
    }

    [Fact]
    public void The_register_and_the_truth_in_the_repository_are_those_of_the_scripts()
    {
        Assert.Equal(SampleStreams.RegisterText(), Repository.Text("register.json"));
        Assert.Equal(SampleStreams.TruthText(), Repository.Text("truth.json"));
    }

    [Fact]
    public void The_folder_holds_one_logger_file_a_vessel_and_stays_below_eight_megabytes()
    {
        FileInfo[] files = [.. new DirectoryInfo(Repository.SampleStreams).EnumerateFiles()];
        Assert.Equal(
            Plant.Vessels.Select(script => script.Id + ".csv.gz").Order(StringComparer.Ordinal),
            files.Select(file => file.Name).Where(name => name.EndsWith(".csv.gz", StringComparison.Ordinal)).Order(StringComparer.Ordinal));
        Assert.InRange(files.Sum(file => file.Length), 1, 8_000_000);
    }

    [Fact]
    public void Each_instant_comes_once_and_in_order_but_for_the_logger_that_buffers()
    {
        foreach (VesselScript script in Plant.Vessels)
        {
            string[] rows = Encoding.UTF8.GetString(Repository.Decompressed(script.Id + ".csv.gz"))
                .Split('\n', StringSplitOptions.RemoveEmptyEntries)[1..];
            string[] times = [.. rows.Select(row => row.Split(',')[0])];
            string[] ordered = [.. times.Distinct().Order(StringComparer.Ordinal)];
            if (script.Logging.BufferDays == 0)
            {
                Assert.True(times.SequenceEqual(ordered), script.Id);
                continue;
            }

            Assert.False(times.SequenceEqual(times.Order(StringComparer.Ordinal)), script.Id);
            Assert.InRange(times.Length - ordered.Length, 100, times.Length / 10);

            // What is sent twice is the same both times, and nothing is lost: 580 days less a second, in ten-minute steps.
            Assert.Equal(ordered.Length, rows.Distinct().Count());
            Assert.Equal((int)((script.End - script.Start).TotalMinutes / 10), ordered.Length);
        }
    }

    [Fact]
    public void The_text_is_the_same_under_a_culture_with_decimal_commas()
    {
        VesselScript script = Find("DC1-A1");
        string invariant = LoggerFile.Text(script, Plant.Seed);
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal(invariant, LoggerFile.Text(script, Plant.Seed));
            Assert.Equal(Repository.Text("truth.json"), SampleStreams.TruthText());
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Part_of_the_time_gives_the_readings_that_the_whole_has_there_and_another_seed_gives_others()
    {
        VesselScript script = Find("DC1-A1");
        DateTimeOffset from = script.Start.AddDays(5);
        DateTimeOffset to = from.AddDays(2);
        LoggedReading[] part = [.. VesselRun.Readings(script, 7, from, to)];
        Assert.Equal(2 * 24 * 12, part.Length);
        Assert.Equal(
            VesselRun.Readings(script, 7, script.Start, script.End).Where(reading => reading.Time >= from && reading.Time < to), part);
        Assert.NotEqual(VesselRun.Readings(script, 8, from, to), part);
    }

    private static VesselScript Find(string id)
    {
        return Plant.Vessels.Single(script => script.Id == id);
    }
}
