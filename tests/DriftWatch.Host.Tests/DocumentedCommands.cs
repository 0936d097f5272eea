using System.Text.RegularExpressions;

namespace DriftWatch.Host.Tests;

/// <summary>The command lines of the documentation.</summary>
internal static partial class DocumentedCommands
{
    /// <summary>All pages, from the root of the repository.</summary>
    public static IEnumerable<string> Pages() =>
    [
        "README.md",
        "DEVELOPERS.md",
        .. Directory.GetFiles(Path.Combine(Repository.Root, "docs"), "*.md", SearchOption.AllDirectories)
            .Select(file => Path.GetRelativePath(Repository.Root, file)),
    ];

    /// <summary>The command lines of a page, indented as code or within backticks, without the program's name and remarks.</summary>
    public static IEnumerable<string> Of(string page) =>
        CommandLine().Matches(File.ReadAllText(Path.Combine(Repository.Root, page)))
            .Select(match => Remark().Replace(match.Groups["words"].Value, "").Trim());

    /// <summary>A line without what may be left out, in [brackets], and with all of it.</summary>
    public static IEnumerable<string> Forms(string line) =>
        new[] { Optional().Replace(line, ""), line.Replace("[", "", StringComparison.Ordinal).Replace("]", "", StringComparison.Ordinal) }.Distinct();

    /// <summary>The words of a line; those within quotes are one.</summary>
    public static IEnumerable<string> Words(string line) => Word().Matches(line).Select(match => match.Value.Trim('"'));

    [GeneratedRegex(@"(?:^    |`)(?:driftwatch|dotnet run -c Release --project src/DriftWatch\.Host --) (?<words>[^`\r\n]+)", RegexOptions.Multiline)]
    private static partial Regex CommandLine();

    [GeneratedRegex(@"\s{2,}#.*$")]
    private static partial Regex Remark();

    [GeneratedRegex(@" \[[^\]]*\]")]
    private static partial Regex Optional();

    [GeneratedRegex("\"[^\"]*\"|\\S+")]
    private static partial Regex Word();
}
