using System.CommandLine;
using System.Text.RegularExpressions;
using DriftWatch.Host.Commands;

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
