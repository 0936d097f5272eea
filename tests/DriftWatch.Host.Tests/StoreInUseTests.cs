using DriftWatch.Host.Settings;
using DriftWatch.TestPeers;

namespace DriftWatch.Host.Tests;

/// <summary>Whose store it is: one service a folder, no store founded by a command that only looks, nothing cleared but a demo's own.</summary>
public sealed class StoreInUseTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_second_service_on_the_same_folder_is_refused_until_the_first_has_ended_however_it_ended()
    {
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder);
        using (ProgramRun first = ProgramRun.Start("run", "--settings", settings))
        {
            _ = await first.SaysAsync("Application started");
            (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("run", "--settings", settings);
            Assert.Equal(2, exitCode);
            Assert.Contains($"another service runs on '{folder.File("data")}'", errors, StringComparison.Ordinal);
            await first.KillAsync();
        }

        using ProgramRun next = ProgramRun.Start("run", "--settings", settings);
        _ = await next.SaysAsync("Application started");
        Assert.Equal(0, await next.TerminateAsync());
    }

    [Theory]
    [InlineData("alarms list")]
    [InlineData("people list")]
    [InlineData("queue status")]
    [InlineData("queue resend files")]
    [InlineData("records list")]
    [InlineData("set-aside")]
    [InlineData("sheet fleet")]
    [InlineData("pages")]
    [InlineData("store backup copy.db")]
    [InlineData("store verify")]
    public async Task A_command_that_finds_no_store_says_so_and_founds_none(string command)
    {
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder);
        (int exitCode, string output, string errors) = await ProgramRun.ToEndInAsync(folder.Path, [.. command.Split(' '), "--settings", settings]);
        Assert.True(exitCode == 2, output + errors);
        Assert.Contains($"There is no store {folder.File("data", "driftwatch.db")} yet", errors, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder.File("data")));
    }

    [Fact]
    public async Task The_demo_clears_no_folder_but_its_own()
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder.File("data"));
        await File.WriteAllTextAsync(folder.File("data", "driftwatch.db"), "a plant's", Ended);
        foreach (string[] more in (string[][])[[], ["--go-on"]])
        {
            (int exitCode, _, string errors) = await ProgramRun.ToEndAsync(["demo", "--output", folder.Path, .. more]);
            Assert.Equal(2, exitCode);
            Assert.Contains("holds what no demo has made", errors, StringComparison.Ordinal);
        }

        Assert.Equal("a plant's", await File.ReadAllTextAsync(folder.File("data", "driftwatch.db"), Ended));
    }

    private static async Task<string> WriteSettingsAsync(TemporaryFolder folder)
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        await File.WriteAllTextAsync(
            folder.File("driftwatch.json"),
            SettingsJson.Write(new ServiceSettings { Register = "register.json", Broker = new BrokerSettings { Port = FreePort.Find() }, Web = new WebSettings { Port = 0 } }),
            Ended);
        return folder.File("driftwatch.json");
    }
}
