using System.IO.Compression;
using DriftWatch.Acquisition.Files;
using DriftWatch.Acquisition.Tests.Mqtt;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Acquisition.Tests.Files;

/// <summary>The watched folder: complete files are taken once, moved, and their bad rows told.</summary>
public sealed class DropFolderTests : IDisposable
{
    private const string Header = "time,gas_pressure_bar\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-drops-").FullName;
    private readonly MemorySink _sink = new();
    private readonly FakeTimeProvider _clock = new();
    private readonly DropFolder _drops;
    private DateTimeOffset _now = new(2025, 7, 1, 0, 0, 0, TimeSpan.Zero);

    public DropFolderTests() =>
        _drops = new DropFolder(_folder, new LoggerImporter(TestRegister.OneVessel, _sink), TimeSpan.FromSeconds(10), _clock);

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_file_is_taken_when_it_has_stopped_growing()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        Assert.Empty(Sweep());
        Assert.Empty(SweepAfter(9));
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n2025-06-03T07:40:00Z,101\n");
        Assert.Empty(SweepAfter(9));
        Assert.Empty(SweepAfter(9));
        ImportedFile imported = Assert.Single(SweepAfter(1));
        Assert.Equal((2, 0), (imported.Readings, imported.Rejected));
        Assert.Equal(["A1"], imported.Vessels);
        Assert.Equal(new DateTimeOffset(2025, 6, 3, 7, 40, 0, TimeSpan.Zero), imported.Last);
        Assert.Equal(Path.Combine(_drops.Done, "A1.csv"), imported.File);
        Assert.True(File.Exists(imported.File));
        Assert.Empty(Directory.GetFiles(_folder));
        Assert.Empty(SweepAfter(100));
    }

    [Fact]
    public void Rejected_rows_lie_beside_the_file_with_line_and_reason_and_one_is_set_aside()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\nyesterday,\"1\"\n2025-06-03T07:50:00Z,oops\n");
        ImportedFile imported = Assert.Single(TakeAll());
        Assert.Equal((1, 2), (imported.Readings, imported.Rejected));
        Assert.Equal(
            [
                "line,reason,row",
                "3,\"the time 'yesterday' names no instant; RFC 3339 with an offset is read, like 2025-06-03T07:30:00Z\",\"yesterday,\"\"1\"\"\"",
                "4,\"column 'gas_pressure_bar': 'oops' is no number\",\"2025-06-03T07:50:00Z,oops\"",
            ],
            File.ReadAllLines(imported.RejectsFile!));
        Assert.Equal(Path.Combine(_drops.Done, "A1.csv.rejects.csv"), imported.RejectsFile);
        Assert.StartsWith("2 rows, or parts of rows, were not taken, and 0 taken with doubt; the first in line 3", Assert.Single(_sink.Quarantined).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_of_which_nothing_can_be_taken_goes_to_failed()
    {
        Drop("B7.csv", Header + "2025-06-03T07:30:00Z,100\n");
        ImportedFile imported = Assert.Single(TakeAll());
        Assert.True(imported.Failed);
        Assert.Equal(Path.Combine(_drops.Failed, "B7.csv"), imported.File);
        Assert.Contains("vessel 'B7'", File.ReadAllText(imported.RejectsFile!), StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_file_again_changes_nothing_and_both_are_kept()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        Assert.Equal("", Assert.Single(TakeAll()).Remarks);
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        ImportedFile again = Assert.Single(TakeAll());
        Assert.Equal((0, 1), (again.Committed.Entered, again.Committed.Repeated));
        Assert.Equal("; 1 held already", again.Remarks);

        Assert.Single(_sink.Readings);
        Assert.Equal(2, _sink.Offered);
        Assert.Equal(["A1-2.csv", "A1.csv"], Directory.GetFiles(_drops.Done).Select(Path.GetFileName).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_store_that_fails_leaves_the_file_to_be_taken_later()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        _sink.FailBefore = new InvalidOperationException("disk full");
        Assert.Throws<InvalidOperationException>(TakeAll);
        Assert.True(File.Exists(Path.Combine(_folder, "A1.csv")));
        _sink.FailBefore = null;
        Assert.Single(Sweep());
        Assert.Single(_sink.Readings);
    }

    [Fact]
    public void A_file_that_cannot_be_moved_or_read_is_told_and_holds_back_no_other()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        Drop("A1.tsv", "time\tgas_pressure_bar\n2025-06-03T07:40:00Z\t100\n");
        Directory.CreateDirectory(Path.Combine(_drops.Done, "A1.csv"));
        Assert.Equal(Path.Combine(_drops.Done, "A1.tsv"), Assert.Single(TakeAll()).File);
        Assert.Equal("A1.csv", Assert.Single(_drops.Stuck).Name);
        Assert.True(File.Exists(Path.Combine(_folder, "A1.csv")));

        Directory.Delete(Path.Combine(_drops.Done, "A1.csv"));
        Assert.Single(Sweep());
        Assert.Empty(_drops.Stuck);
    }

    [Fact]
    public void Other_files_and_hidden_ones_are_left_alone()
    {
        Drop(".A1.csv", Header);
        Drop("A1.csv.part", Header);
        Drop("notes.xlsx", "");
        Drop("A1.csv.rejects.csv", "");
        Assert.Empty(TakeAll());
        Assert.Equal(4, Directory.GetFiles(_folder).Length);
        Assert.Equal(["notes.xlsx"], _drops.PassedOver);
    }

    [Theory]
    [InlineData("A1.tsv")]
    [InlineData("A1.TXT")]
    public void Tables_under_other_endings_are_taken(string name)
    {
        Drop(name, "time\tgas_pressure_bar\n2025-06-03T07:30:00Z\t100\n");
        ImportedFile imported = Assert.Single(TakeAll());
        Assert.Equal((1, Path.Combine(_drops.Done, name)), (imported.Readings, imported.File));
    }

    /// <summary>A machine that starts with the clock a year ahead has it set back while files lie there.</summary>
    [Fact]
    public void A_clock_that_is_set_back_holds_back_no_file()
    {
        Drop("A1.csv", Header + "2025-06-03T07:30:00Z,100\n");
        _now = _now.AddYears(1);
        Assert.Empty(Sweep());
        _now = _now.AddYears(-1);
        Assert.Empty(SweepAfter(9));
        Assert.Single(SweepAfter(1));
    }

    /// <summary>As a power cut leaves them, or as somebody names them: neither stops what looks for files.</summary>
    [Fact]
    public void A_gzip_file_that_is_torn_or_none_is_told_of_and_moved()
    {
        using (GZipStream gzip = new(File.Create(Path.Combine(_folder, "A1.csv.gz")), CompressionLevel.NoCompression))
        {
            gzip.Write(System.Text.Encoding.UTF8.GetBytes(Header + "2025-06-03T07:30:00Z,100\n2025-06-03T07:40:00Z,101.5\n"));
        }

        byte[] whole = File.ReadAllBytes(Path.Combine(_folder, "A1.csv.gz"));
        File.WriteAllBytes(Path.Combine(_folder, "A1.csv.gz"), whole[..(whole.AsSpan().IndexOf("101.5"u8) + "101"u8.Length)]);
        Drop("A1.tsv.gz", "time\tgas_pressure_bar\n2025-06-03T07:40:00Z\t100\n");
        Drop("A1.txt.gz", "");
        List<ImportedFile> taken = TakeAll();
        Assert.Equal(
            [(Path.Combine(_drops.Done, "A1.csv.gz"), 1L, 1L), (Path.Combine(_drops.Failed, "A1.tsv.gz"), 0L, 1L), (Path.Combine(_drops.Failed, "A1.txt.gz"), 0L, 1L)],
            taken.Select(file => (file.File, file.Readings, file.Rejected)));
        Assert.Contains("the file cannot be read beyond line 2", File.ReadAllText(taken[0].RejectsFile!), StringComparison.Ordinal);
        Assert.Contains("the file cannot be read beyond line 0", File.ReadAllText(taken[1].RejectsFile!), StringComparison.Ordinal);
        Assert.Empty(_drops.Stuck);
    }

    /// <summary>The service starts all the same, and looks again.</summary>
    [Fact]
    public void A_folder_that_is_away_is_told_by_the_look_and_used_when_it_comes()
    {
        string share = Path.Combine(_folder, "share");
        File.WriteAllText(share, "not mounted");
        DropFolder drops = new(share, new LoggerImporter(TestRegister.OneVessel, _sink), TimeSpan.Zero, _clock);
        Assert.ThrowsAny<IOException>(() => drops.Sweep(_now, TestContext.Current.CancellationToken).Count());
        File.Delete(share);
        Assert.Empty(drops.Sweep(_now, TestContext.Current.CancellationToken));
        File.WriteAllText(Path.Combine(share, "A1.csv"), Header + "2025-06-03T07:30:00Z,100\n");
        Assert.Single(drops.Sweep(_now, TestContext.Current.CancellationToken));
    }

    private void Drop(string name, string text) => File.WriteAllText(Path.Combine(_folder, name), text);

    private List<ImportedFile> Sweep() => [.. _drops.Sweep(_now, TestContext.Current.CancellationToken)];

    private List<ImportedFile> SweepAfter(int seconds)
    {
        _now = _now.AddSeconds(seconds);
        _clock.Advance(TimeSpan.FromSeconds(seconds));
        return Sweep();
    }

    private List<ImportedFile> TakeAll() => [.. Sweep(), .. SweepAfter(10)];
}
