using System.Text.Json.Nodes;
using DriftWatch.Plant.Alarms;
using DriftWatch.Storage;

namespace DriftWatch.Host.Tests;

/// <summary>The service killed in the middle of a replay and started again says what it says undisturbed.</summary>
public sealed class KilledServiceTests
{
    /// <summary>A recharge, a burst, trapped fluid, and a logger that delivers late and out of order.</summary>
    private static readonly string[] Vessels = ["HY1-A1", "SH1-A2", "PR1-A2", "DC1-A2"];

    [Fact]
    public async Task Kills_during_a_replay_change_neither_points_nor_alarms_nor_jobs()
    {
        using TemporaryFolder streams = Streams();
        using TemporaryFolder undisturbed = new();
        using TemporaryFolder disturbed = new();
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync("demo", "--streams", streams.Path, "--output", undisturbed.Path);
        Assert.True(exitCode == 0, output + errors);
        using var expected = new PlantStore(new StoreOptions { Path = undisturbed.File("data", "driftwatch.db") });
        long readings = expected.ReadingCounts().Sum(count => count.Count);

        int killed = 0;
        foreach (double share in (double[])[0.15, 0.4, 0.6, 0.85])
        {
            using ProgramRun run = ProgramRun.Start("demo", "--streams", streams.Path, "--output", disturbed.Path, "--go-on");
            if (await ReachesAsync(disturbed.File("data", "driftwatch.db"), (long)(share * readings), run))
            {
                await run.KillAsync();
                killed++;
            }
        }

        Assert.True(killed >= 3, $"Only {killed} runs were killed in time: the test has proved nothing.");
        (exitCode, output, errors) = await ProgramRun.ToEndAsync("demo", "--streams", streams.Path, "--output", disturbed.Path, "--go-on");
        Assert.True(exitCode == 0, output + errors);
        using var actual = new PlantStore(new StoreOptions { Path = disturbed.File("data", "driftwatch.db") });
        Assert.Equal(expected.ReadingCounts(), actual.ReadingCounts());
        foreach (string vessel in Vessels)
        {
            Assert.Equal(expected.Windows(vessel), actual.Windows(vessel));
            Assert.Equal(expected.LastAssessment(vessel), actual.LastAssessment(vessel));
            Assert.Equal(
                expected.CheckpointBefore(vessel, DateTimeOffset.MaxValue)!.State.ToArray(),
                actual.CheckpointBefore(vessel, DateTimeOffset.MaxValue)!.State.ToArray());
        }

        DateTimeOffset end = Vessels.Max(vessel => expected.LastAssessment(vessel)!.AsOf);
        AlarmBook alarms = expected.Alarms(end);
        Assert.NotEmpty(alarms.Alarms);
        Assert.Equal(alarms.Alarms, actual.Alarms(end).Alarms);
        Assert.Equal(alarms.Journal, actual.Alarms(end).Journal);
        DemoTests.AssertSameFiles(undisturbed.File("jobs"), disturbed.File("jobs"));
    }

    private static TemporaryFolder Streams()
    {
        var folder = new TemporaryFolder();
        JsonNode register = JsonNode.Parse(File.ReadAllText(Path.Combine(Repository.SampleStreams, "register.json")))!;
        JsonNode[] kept = [.. register["vessels"]!.AsArray().Where(vessel => Vessels.Contains((string?)vessel!["id"])).Select(vessel => vessel!.DeepClone())];
        register["vessels"] = new JsonArray(kept);
        File.WriteAllText(folder.File("register.json"), register.ToJsonString());
        foreach (string vessel in Vessels)
        {
            File.Copy(Path.Combine(Repository.SampleStreams, vessel + ".csv.gz"), folder.File(vessel + ".csv.gz"));
        }

        return folder;
    }

    /// <summary>Whether the run commits that many readings before it ends.</summary>
    private static async Task<bool> ReachesAsync(string database, long readings, ProgramRun run)
    {
        PlantStore? store = null;
        try
        {
            while (!run.HasExited)
            {
                if (store is null && File.Exists(database))
                {
                    try
                    {
                        store = new PlantStore(new StoreOptions { Path = database });
                    }
                    catch (StoreUnavailableException)
                    {
                        // The other process is making it.
                    }
                }

                if (store is not null && store.ReadingCounts().Sum(count => count.Count) >= readings)
                {
                    return true;
                }

                await Task.Delay(20, TestContext.Current.CancellationToken);
            }

            return false;
        }
        finally
        {
            store?.Dispose();
        }
    }
}
