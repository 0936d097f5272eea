using System.Text.RegularExpressions;

namespace DriftWatch.Host.Tests;

/// <summary>The pages of documentation lead where they say.</summary>
public sealed partial class DocumentationLinksTests
{
    [Fact]
    public void Every_link_to_a_file_leads_to_one()
    {
        string[] pages =
        [
            Path.Combine(Repository.Root, "README.md"),
            Path.Combine(Repository.Root, "DEVELOPERS.md"),
            Path.Combine(Repository.SampleStreams, "README.md"),
            .. Directory.GetFiles(Path.Combine(Repository.Root, "docs"), "*.md", SearchOption.AllDirectories),
        ];
        List<string> broken = [];
        int links = 0;
        foreach (string page in pages)
        {
            foreach (Match link in Link().Matches(File.ReadAllText(page)))
            {
                links++;
                string target = Path.Combine(Path.GetDirectoryName(page)!, link.Groups["path"].Value);
                if (!File.Exists(target) && !Directory.Exists(target))
                {
                    broken.Add($"{Path.GetFileName(page)}: {link.Groups["path"].Value}");
                }
            }
        }

        Assert.Empty(broken);
        Assert.True(links > 40, $"Only {links} links were found.");
    }

    [GeneratedRegex(@"\]\((?<path>[^):#\s]+)(?:#[^)]*)?\)")]
    private static partial Regex Link();
}
