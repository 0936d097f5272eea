using System.Reflection;
using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace DriftWatch.Host.Tests;

/// <summary>The arrows between the houses go downwards only.</summary>
public sealed partial class HousesTests
{
    /// <summary>The table of DEVELOPERS.md: house, and the houses that it may use.</summary>
    private static readonly Dictionary<string, string[]> Allowed = File.ReadLines(Path.Combine(Repository.Root, "DEVELOPERS.md"))
        .Select(line => HouseRow().Match(line))
        .Where(row => row.Success)
        .ToDictionary(
            row => row.Groups["house"].Value,
            row => row.Groups["uses"].Value is "nothing of ours" ? [] : row.Groups["uses"].Value.Split(", "),
            StringComparer.Ordinal);

    public static TheoryData<string> Houses => [.. Allowed.Keys.Where(house => house != "Host")];

    [Fact]
    public void Every_house_stands_in_the_table() => Assert.Equal(
        Directory.GetDirectories(Path.Combine(Repository.Root, "src"), "DriftWatch.*").Select(folder => Path.GetFileName(folder)["DriftWatch.".Length..]).Order(),
        Allowed.Keys.Order());

    [Theory]
    [MemberData(nameof(Houses))]
    public void A_house_uses_only_those_below_it(string house)
    {
        string[] used =
        [
            .. Assembly.Load($"DriftWatch.{house}").GetReferencedAssemblies()
                .Where(name => name.Name!.StartsWith("DriftWatch.", StringComparison.Ordinal))
                .Select(name => name.Name!["DriftWatch.".Length..]),
        ];
        Assert.Subset(Allowed[house].ToHashSet(), used.ToHashSet());
    }

    [Theory]
    [InlineData("Gas")]
    [InlineData("Trends")]
    public void A_pure_house_is_built_with_the_banned_symbols(string house)
    {
        XDocument project = XDocument.Load(Path.Combine(Repository.Root, "src", $"DriftWatch.{house}", $"DriftWatch.{house}.csproj"));
        Assert.Equal("true", project.Descendants("PureHouse").Single().Value);
        string[] packages = [.. project.Descendants("PackageReference").Select(reference => reference.Attribute("Include")!.Value)];
        Assert.Subset(new HashSet<string> { "MathNet.Numerics", "UnitsNet" }, packages.ToHashSet());
    }

    [Fact]
    public void Every_house_has_tests_of_its_own()
    {
        foreach (string source in Directory.GetDirectories(Path.Combine(Repository.Root, "src"), "DriftWatch.*"))
        {
            Assert.True(
                Directory.Exists(Path.Combine(Repository.Root, "tests", Path.GetFileName(source) + ".Tests")),
                $"{Path.GetFileName(source)} has no test project.");
        }
    }

    [GeneratedRegex(@"^\| `DriftWatch\.(?<house>\w+)` \| [^|]+ \| (?<uses>[^|]+) \|$")]
    private static partial Regex HouseRow();
}
