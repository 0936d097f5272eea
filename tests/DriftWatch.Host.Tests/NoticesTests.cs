using System.Text.Json;

namespace DriftWatch.Host.Tests;

/// <summary>The page of third-party notices names every package that the program is restored with.</summary>
public sealed class NoticesTests
{
    [Fact]
    public void Every_package_of_the_program_is_named()
    {
        string notices = File.ReadAllText(Path.Combine(Repository.Root, "docs", "third-party-notices.md"));
        using JsonDocument locked = JsonDocument.Parse(File.ReadAllText(Path.Combine(Repository.Root, "src", "DriftWatch.Host", "packages.lock.json")));
        string[] missing =
        [
            .. locked.RootElement.GetProperty("dependencies").EnumerateObject()
                .SelectMany(framework => framework.Value.EnumerateObject())
                .Where(package => package.Value.GetProperty("type").GetString() != "Project")
                .Select(package => package.Name)
                .Where(name => !name.StartsWith("Microsoft.Extensions.", StringComparison.Ordinal))
                .Where(name => !notices.Contains(name, StringComparison.Ordinal)),
        ];
        Assert.Empty(missing);
    }
}
