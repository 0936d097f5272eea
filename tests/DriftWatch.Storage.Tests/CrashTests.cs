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

    /// <summary>Starts the writer, reads its reports, and kills it a random number of spins after a random one of them.</summary>
    private async Task<(int Committed, int Saved)> WriteAndKill(Random random, int committed, int saved)
    {
        using Process writer = Process.Start(new ProcessStartInfo("dotnet", [typeof(CrashWriter).Assembly.Location, CrashWriter.Argument, _folder.File])
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
        int[] jobs = [.. store.OpenJobs(CrashWriter.Vessel).Select(job => int.Parse(job.Key.Split('-')[^1], System.Globalization.CultureInfo.InvariantCulture)).Order()];
        Assert.Equal(steps, jobs.Length);
        Assert.Equal(jobs, store.Pending("files", int.MaxValue).Select(entry => int.Parse(entry.Notice.Job.Key.Split('-')[^1], System.Globalization.CultureInfo.InvariantCulture)));
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
