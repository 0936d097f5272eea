using System.Diagnostics;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

public sealed class CrashTests : IDisposable
{
    private const int Kills = 10;

    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task What_was_reported_committed_outlives_a_kill_at_any_moment()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        int committed = -1;
        int saved = -1;
        for (int kill = 0; kill < Kills; kill++)
        {
            (committed, saved) = await WriteAndKill(random, committed, saved);
            Check(committed, saved);
        }
    }

    /// <summary>A limit on the size of files stands in for a small disk: SQLite meets it at the same write.</summary>
    [Fact]
    public async Task A_store_that_cannot_grow_says_so_keeps_what_it_has_and_goes_on_when_it_can()
    {
        // 4 MiB a file, in blocks of 1 KiB; the signal for going over it is ignored so that the write fails instead. The
        // runtime's own doubly mapped memory counts as a file, hence its switch.
        string command = $"trap '' XFSZ; ulimit -f 4096; exec dotnet '{typeof(CrashWriter).Assembly.Location}' {CrashWriter.UntilFull} '{_folder.File}'";
        ProcessStartInfo start = new("bash", ["-c", command]) { RedirectStandardOutput = true };
        start.Environment["DOTNET_EnableWriteXorExecute"] = "0";
        using Process writer = Process.Start(start)!;
        string[] lines = (await writer.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        await writer.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, writer.ExitCode);

        int committed = lines.Length - 2;
        Assert.True(committed > 10, "some fit");
        Assert.StartsWith($"full {committed} Store '{_folder.File}': Reading or writing the disk failed", lines[^2], StringComparison.Ordinal);
        Assert.Equal(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"held {committed * CrashWriter.BatchSize}"), lines[^1]);
        Check(committed - 1, -1);

        using PlantStore store = _folder.Open();
        store.Commit(CrashWriter.Batch(committed), []);
        Assert.Equal((committed + 1) * CrashWriter.BatchSize, store.ReadingsAfter(CrashWriter.Vessel, DateTimeOffset.MinValue).Count());
    }

    /// <summary>Starts the writer, reads its reports, and kills it a random number of spins after a random one of them.</summary>
    private async Task<(int Committed, int Saved)> WriteAndKill(Random random, int committed, int saved)
    {
        using Process writer = Process.Start(new ProcessStartInfo("dotnet", [typeof(CrashWriter).Assembly.Location, CrashWriter.UntilKilled, _folder.File])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        Task<string> errors = writer.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        int reports = random.Next(1, 60);
        bool killed = false;
        while (await writer.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) is { } line)
        {
            int batch = int.Parse(line.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture);
            committed = line.StartsWith("committed", StringComparison.Ordinal) ? batch : committed;
            saved = line.StartsWith("saved", StringComparison.Ordinal) ? batch : saved;
            if (--reports <= 0 && !killed)
            {
                Thread.SpinWait(random.Next(200_000));
                writer.Kill();
                killed = true;
            }
        }

        await writer.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(killed, $"the writer ended by itself: {await errors}");
        return (committed, saved);
    }

    private void Check(int committed, int saved)
    {
        using PlantStore store = _folder.Open("files");
        Reading[] held = [.. store.ReadingsAfter(CrashWriter.Vessel, DateTimeOffset.MinValue)];
        int batches = held.Length / CrashWriter.BatchSize;
        // All or nothing of each batch; all that was reported; at most one whose report was cut off.
        Assert.Equal(0, held.Length % CrashWriter.BatchSize);
        Assert.InRange(batches, committed + 1, committed + 2);
        Assert.Equal(Enumerable.Range(0, batches).SelectMany(CrashWriter.Batch).Select(reading => reading.Reading), held);
        Assert.Equal(held.Length, store.ReadingCounts().Single().Count);

        // A step likewise: its window, its job and its notice stand or fall together, and each stands once.
        int steps = store.Windows(CrashWriter.Vessel).Count;
        int[] jobs = [.. store.LastNotices(CrashWriter.Vessel).Select(notice => int.Parse(notice.Job.Key.Split('-')[^1], System.Globalization.CultureInfo.InvariantCulture)).Order()];
        Assert.Equal(steps, jobs.Length);
        Assert.Equal(jobs, store.Pending("files", int.MaxValue).Select(entry => int.Parse(((Plant.Jobs.JobNotice)entry.Notice).Job.Key.Split('-')[^1], System.Globalization.CultureInfo.InvariantCulture)));
        Assert.True(jobs.Length == 0 || jobs[^1] >= saved, "the last step reported is there");

        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = _folder.File, Pooling = false }.ConnectionString);
        connection.Open();
        using SqliteCommand check = connection.CreateCommand();
        check.CommandText = "PRAGMA integrity_check";
        Assert.Equal("ok", check.ExecuteScalar());
        check.CommandText = "SELECT count(*) FROM pragma_foreign_key_check";
        Assert.Equal(0L, check.ExecuteScalar());
    }
}
