using System.Text.RegularExpressions;

namespace DriftWatch.Host.Tests;

/// <summary>The tools that the documentation tells contributors to run do run: each one as it is written, but for less of its work.</summary>
public sealed partial class DevelopersCommandsTests
{
    private const string Configuration =
#if DEBUG
        "Debug";
#else
        "Release";
#endif

    /// <summary>What is documented, what is run instead so that it ends within a minute, and what it says then.</summary>
    public static TheoryData<string, string, string> Tools => new()
    {
        { "tests/DriftWatch.Fuzz -- 1000000", "2000", "logger files in" },
        { "tests/DriftWatch.Soak -- 60 1000", "1 20", "exit code 0; warnings 0, errors 0" },
        { "tests/DriftWatch.IngestBenchmark", "packing", "bytes each as rows" },
        { "tests/DriftWatch.IngestBenchmark -- store", "store", "readings/s" },
        { "tests/DriftWatch.Benchmarks -- --filter '*' --job short", "--filter *Correction* --job dry --inProcess", "executed benchmarks: 4" },
        { "tests/DriftWatch.Benchmarks -- --filter '*Assess*' '*History*'", "--filter *Assess* *History* --job dry --inProcess", "executed benchmarks: 6" },
        { "tests/DriftWatch.Study", "trapped", "| episodes | taken for the precharge | points |" },
        { "tests/DriftWatch.Web.Tests -- -explicit only -showliveoutput", "-explicit only -list methods", "LargeFleetMeasurement" },
        { "tests/DriftWatch.SamplePlant -- sample-streams", "sample-streams", "" },
    };

    [Fact]
    public void Every_tool_of_the_documentation_is_run_here()
    {
        string[] documented =
        [
            .. DocumentedCommands.Pages().Append("sample-streams/README.md")
                .SelectMany(page => ToolLine().Matches(File.ReadAllText(Path.Combine(Repository.Root, page))))
                .Select(match => match.Groups["tool"].Value.Trim())
                .Distinct(),
        ];
        Assert.Equal(Tools.Select(row => row.Data.Item1).Order(StringComparer.Ordinal), documented.Order(StringComparer.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Tools))]
    public async Task A_tool_does_its_work(string documented, string instead, string says)
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder.File("docs"));
        File.Copy(Path.Combine(Repository.Root, "docs", "study.md"), folder.File("docs/study.md"));
        string project = Path.Combine(Repository.Root, documented.Split(' ')[0]);
        using ProgramRun tool = ProgramRun.StartDotnetIn(
            folder.Path, ["run", "-c", Configuration, "--no-build", "--project", project, "--", .. instead.Split(' ')]);
        int exitCode = await tool.ExitAsync();
        Assert.True(exitCode == 0, $"{documented}: exit code {exitCode}\n{await tool.Output}\n{await tool.Errors}");
        Assert.Contains(says, await tool.Output, StringComparison.Ordinal);
    }

    [GeneratedRegex(@"(?:^ {0,4}|[`>])dotnet run -c Release --project (?<tool>tests/[^`<\r\n]*?)(?=\s{2,}#|`|<|\r?$)", RegexOptions.Multiline)]
    private static partial Regex ToolLine();
}
