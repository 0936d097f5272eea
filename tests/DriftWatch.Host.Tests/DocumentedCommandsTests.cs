using System.CommandLine;
using System.Text.RegularExpressions;
using DriftWatch.Host.Commands;
using DriftWatch.TestPeers;

namespace DriftWatch.Host.Tests;

/// <summary>
/// What the pages of documentation tell the reader to type is there: every command line of every page is read by the
/// program's own command tree, and those of the tutorial are run, one after the other, as a new user would.
/// </summary>
public sealed partial class DocumentedCommandsTests
{
    [Fact]
    public void Every_command_line_of_the_documentation_can_be_read()
    {
        RootCommand tree = CommandTree.Create();
        List<string> wrong = [];
        int read = 0;
        foreach (string page in Pages())
        {
            foreach (string line in Commands(File.ReadAllText(page)))
            {
                ParseResult parsed = tree.Parse(line);
                read++;
                wrong.AddRange(parsed.Errors.Select(error => $"{Path.GetFileName(page)}: driftwatch {line}: {error.Message}"));
            }
        }

        Assert.Empty(wrong);
        Assert.True(read >= 20, $"Only {read} command lines were found: the pages tell of more.");
    }

    [Fact]
    public async Task The_tutorial_works_as_it_is_written()
    {
        using TemporaryFolder folder = new();
        string[] commands = [.. Commands(File.ReadAllText(Path.Combine(Repository.Root, "docs", "tutorial.md")))];
        Assert.Contains("demo", commands);
        foreach (string command in commands)
        {
            string[] words = [.. command.Replace("demo-output", folder.File("demo"), StringComparison.Ordinal).Split(' ')];
            if (words is ["demo"])
            {
                words = ["demo", "--output", folder.File("demo")];
            }

            if (words[0] == "pages")
            {
                await using ServedPages pages = await ServedPages.StartAsync(words);
                Assert.Contains("HY1-A1", await pages.FirstPageAsync(), StringComparison.Ordinal);
                continue;
            }

            (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync(words);
            Assert.True(exitCode == 0, $"driftwatch {command}: exit code {exitCode}\n{output}\n{errors}");
        }

        Assert.True(new FileInfo(folder.File("demo/HY1-A1.pdf")).Length > 0);
        Assert.True(new FileInfo(folder.File("demo/report.pdf")).Length > 0);
    }

    /// <summary>The register is the example of its own page; the readings are made here.</summary>
    [Fact]
    public async Task The_way_to_the_first_job_works_as_it_is_written()
    {
        using TemporaryFolder folder = new();
        string registerPage = await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "register.md"), TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(folder.File("register.json"), registerPage.Split("```json")[1].Split("```")[0], TestContext.Current.CancellationToken);
        await File.WriteAllLinesAsync(
            folder.File("PU1-A1.csv"),
            ["time,gas_pressure_bar,gas_temperature_C", .. Enumerable.Range(0, 60).Select(minute => FormattableString.Invariant($"2025-06-03T08:{minute:00}:00Z,101.5,20.25"))],
            TestContext.Current.CancellationToken);
        string[] commands = [.. Commands(await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "first-job.md"), TestContext.Current.CancellationToken))];
        Assert.Contains("run", commands);
        foreach (string command in commands)
        {
            string[] words = command.Split(' ');
            if (words[0] == "run")
            {
                using ProgramRun service = ProgramRun.StartIn(folder.Path, words);
                _ = await service.SaysAsync("Application started");
                Assert.Equal(0, await service.TerminateAsync());
                continue;
            }

            (int exitCode, string output, string errors) = await ProgramRun.ToEndInAsync(folder.Path, words);
            Assert.True(exitCode == 0, $"driftwatch {command}: exit code {exitCode}\n{output}\n{errors}");
            if (words[0] == "example-settings")
            {
                // What differs at this plant: ports of its own.
                string settings = output
                    .Replace("\"port\": 1883", FormattableString.Invariant($"\"port\": {FreePort.Find()}"), StringComparison.Ordinal)
                    .Replace("\"port\": 8085", "\"port\": 0", StringComparison.Ordinal);
                await File.WriteAllTextAsync(folder.File("driftwatch.json"), settings, TestContext.Current.CancellationToken);
            }
        }

        Assert.NotEmpty(Directory.GetFiles(folder.File("queue")));
    }

    private static IEnumerable<string> Pages() =>
    [
        Path.Combine(Repository.Root, "README.md"),
        Path.Combine(Repository.Root, "DEVELOPERS.md"),
        .. Directory.GetFiles(Path.Combine(Repository.Root, "docs"), "*.md", SearchOption.AllDirectories),
    ];

    /// <summary>The command lines of a page, indented as code or within backticks, without the program's name and remarks.</summary>
    private static IEnumerable<string> Commands(string page)
    {
        foreach (Match match in CommandLine().Matches(page))
        {
            string line = Remark().Replace(match.Groups["words"].Value, "").Trim();
            yield return line.Replace("[NUMBER]", "1", StringComparison.Ordinal);
        }
    }

    [GeneratedRegex(@"(?:^    |`)(?:driftwatch|dotnet run -c Release --project src/DriftWatch\.Host --) (?<words>[^`\r\n]+)", RegexOptions.Multiline)]
    private static partial Regex CommandLine();

    [GeneratedRegex(@"\s{2,}#.*$")]
    private static partial Regex Remark();
}
