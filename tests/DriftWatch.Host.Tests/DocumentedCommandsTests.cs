using System.CommandLine;
using System.Globalization;
using System.Text.Json.Nodes;
using DriftWatch.Host.Commands;
using DriftWatch.TestPeers;

namespace DriftWatch.Host.Tests;

/// <summary>
/// What the pages of documentation tell the reader to type is there: every command line of every page is read by the
/// program's own command tree, and run, page after page, as a new user would.
/// </summary>
public sealed class DocumentedCommandsTests
{
    [Fact]
    public void Every_command_line_of_the_documentation_can_be_read()
    {
        RootCommand tree = CommandTree.Create();
        List<string> wrong = [];
        int read = 0;
        foreach (string page in DocumentedCommands.Pages())
        {
            foreach (string line in DocumentedCommands.Of(page).SelectMany(DocumentedCommands.Forms))
            {
                ParseResult parsed = tree.Parse([.. DocumentedCommands.Words(line).Select(word => Placeholders.GetValueOrDefault(word, word))]);
                read++;
                wrong.AddRange(parsed.Errors.Select(error => $"{page}: driftwatch {line}: {error.Message}"));
            }
        }

        Assert.Empty(wrong);
        Assert.True(read >= 20, $"Only {read} command lines were found: the pages tell of more.");
    }

    [Fact]
    public async Task The_tutorial_works_as_it_is_written()
    {
        using TemporaryFolder folder = new();
        string[] commands = [.. DocumentedCommands.Of("docs/tutorial.md")];
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
        string[] commands = [.. DocumentedCommands.Of("docs/first-job.md")];
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

    /// <summary>
    /// On the store of the demo, in the order of each page, without and with what may be left out. Some commands need what is not
    /// there, a latched alarm, one that nobody has acknowledged or shelved yet, or a notice set aside, and have to say so.
    /// </summary>
    [Fact]
    public async Task The_commands_of_the_other_pages_work_as_they_are_written()
    {
        using TemporaryFolder folder = new();
        (int made, _, string trouble) = await ProgramRun.ToEndAsync("demo", "--output", folder.Path);
        Assert.True(made == 0, trouble);
        Dictionary<string, string> words = new(Placeholders, StringComparer.Ordinal)
        {
            ["VESSEL"] = "HY1-A1", ["NAME"] = "Ada", ["REASON"] = "seen", ["TEXT"] = "seen", ["CHANNEL"] = "files", ["ID"] = "HY1-A1",
            ["FOLDER"] = Path.Combine(Repository.Root, "sample-streams"),
            ["register.json"] = Path.Combine(Repository.Root, "sample-streams", "register.json"),
            ["FILE"] = folder.File("copy.db"),
            ["KEY"] = JsonNode.Parse(await File.ReadAllTextAsync(
                Directory.GetFiles(folder.File("jobs"), "*.json").Order(StringComparer.Ordinal).First(), TestContext.Current.CancellationToken))!["job"]!["key"]!.GetValue<string>(),
        };
        int run = 0;
        DateTimeOffset at = new(2026, 9, 1, 6, 0, 0, TimeSpan.Zero);
        foreach (string page in (string[])["README.md", "docs/register.md", "docs/alarms.md", "docs/jobs.md", "docs/pages.md", "docs/sheets.md", "docs/backup.md", "docs/install.md"])
        {
            foreach (string command in DocumentedCommands.Of(page).Where(RunsToAnEnd).SelectMany(DocumentedCommands.Forms))
            {
                // Each record has a moment and an id of its own; a shelf ends later than now.
                at = at.AddMinutes(1);
                words["INSTANT"] = (command.Contains("shelve", StringComparison.Ordinal) ? DateTimeOffset.UtcNow.AddDays(1) : at).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
                words["UUID"] = words["RECORD"] = command.StartsWith("records void", StringComparison.Ordinal) ? LastRecord : NewRecord();
                string[] typed = [.. DocumentedCommands.Words(command.Replace("/backup/", folder.File(""), StringComparison.Ordinal))
                    .Select(word => words.GetValueOrDefault(word, word))];
                if (command.StartsWith("people add", StringComparison.Ordinal))
                {
                    // As the page says: from a prompt, or from a file where there is no terminal.
                    await File.WriteAllTextAsync(folder.File("password.txt"), "grey heron over 7 weirs", TestContext.Current.CancellationToken);
                    typed = [.. typed, "--password-file", folder.File("password.txt")];
                }

                (int exitCode, string output, string errors) = await ProgramRun.ToEndInAsync(folder.Path, typed);
                bool saysWhy = Refusals.Exists(refusal => command.StartsWith(refusal.Command, StringComparison.Ordinal) && errors.Contains(refusal.Says, StringComparison.Ordinal));
                Assert.True(exitCode == 0 || saysWhy, $"{page}: driftwatch {string.Join(' ', typed)}: exit code {exitCode}\n{output}\n{errors}");
                run++;
            }
        }

        Assert.True(run > 40, $"Only {run} commands were run.");
    }

    /// <summary>What stands for a number, an instant or an id in the documentation.</summary>
    private static readonly Dictionary<string, string> Placeholders = new(StringComparer.Ordinal)
    {
        ["P"] = "95", ["T"] = "20.5", ["M"] = "0.4", ["NUMBER"] = "1", ["INSTANT"] = "2026-09-01T06:00:00Z",
        ["UUID"] = "0196a3b2-0000-7000-8000-000000000001", ["RECORD"] = "0196a3b2-0000-7000-8000-000000000001", ["KIND"] = "FallingFasterThanAllowed",
    };

    private static readonly List<(string Command, string Says)> Refusals =
    [
        ("alarms", "has no place while"),
        ("queue resend", "has no such dead letter"),
    ];

    private readonly List<string> _records = [];

    private string LastRecord
    {
        get
        {
            string last = _records[^1];
            _records.RemoveAt(_records.Count - 1);
            return last;
        }
    }

    private string NewRecord()
    {
        _records.Add(Guid.NewGuid().ToString());
        return _records[^1];
    }

    /// <summary>The demo, the service and the pages run in the other tests.</summary>
    private static bool RunsToAnEnd(string command) => command.Split(' ')[0] is not ("demo" or "run" or "pages" or "health");
}
