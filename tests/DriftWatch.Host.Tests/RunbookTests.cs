using System.Globalization;
using System.Reflection;
using System.Text.RegularExpressions;
using DriftWatch.Host.Health;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Tests;

/// <summary>Whoever is told that something is wrong finds in the runbook what to do: nothing that the program can say is missing there.</summary>
public sealed partial class RunbookTests
{
    private static readonly string Runbook = Page("runbook.md");

    [Fact]
    public void Each_warning_and_error_of_the_log_stands_in_the_runbook()
    {
        Assembly[] ours =
        [
            .. typeof(HealthState).Assembly.GetReferencedAssemblies().Where(name => name.Name!.StartsWith("DriftWatch.", StringComparison.Ordinal)).Select(Assembly.Load),
            typeof(HealthState).Assembly,
        ];
        LoggerMessageAttribute[] messages =
        [
            .. ours.SelectMany(assembly => assembly.GetTypes())
                .SelectMany(type => type.GetMethods(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly))
                .Select(method => method.GetCustomAttribute<LoggerMessageAttribute>()).OfType<LoggerMessageAttribute>(),
        ];
        Assert.Equal(messages.Length, messages.Select(message => message.EventId).Distinct().Count());

        // Without a level of its own, the caller gives it.
        string[] told = [.. messages.Where(message => message.Level is LogLevel.None or >= LogLevel.Warning).Select(message => message.EventId.ToString(CultureInfo.InvariantCulture)).Order(StringComparer.Ordinal)];
        string[] written = [.. Section("## What the log warns of").SelectMany(row => Number().Matches(row.Split('|')[1]).Select(match => match.Value)).Order(StringComparer.Ordinal)];
        Assert.Contains("3050", told);
        Assert.Equal(told, written);
    }

    [Fact]
    public void Each_complaint_of_the_health_stands_in_the_runbook()
    {
        string[] written = [.. Section("## What the health complains of").SelectMany(row => Code().Matches(row.Split('|')[2]).Select(match => match.Groups[1].Value)).Distinct().Order(StringComparer.Ordinal)];
        Assert.Equal(Constants(typeof(Matter)).Order(StringComparer.Ordinal), written);
        foreach (string part in Constants(typeof(ServicePart)).Append("queue:NAME"))
        {
            Assert.Contains(Section("## What the health complains of"), row => row.Split('|')[1].Contains($"`{part}`", StringComparison.Ordinal));
            Assert.Contains($"| `{part}`", Page("health.md"), StringComparison.Ordinal);
        }
    }

    /// <summary>So that the test above sees every matter there is.</summary>
    [Fact]
    public void A_complaint_is_made_of_a_matter_by_its_name()
    {
        foreach (string file in Directory.EnumerateFiles(Path.Combine(Repository.Root, "src", "DriftWatch.Host"), "*.cs", SearchOption.AllDirectories))
        {
            Assert.DoesNotMatch(ComplaintOfText(), File.ReadAllText(file));
        }

        Assert.Matches(ComplaintOfText(), "new Complaint(\n    \"packing\", x)");
    }

    private static string Page(string name) => File.ReadAllText(Path.Combine(Repository.Root, "docs", name)).ReplaceLineEndings("\n");

    private static string[] Section(string heading)
    {
        string[] rows = [.. Runbook[Runbook.IndexOf(heading, StringComparison.Ordinal)..].Split('\n').Skip(1).TakeWhile(line => !line.StartsWith('#')).Where(line => line.StartsWith('|'))];
        return rows[2..];
    }

    private static IEnumerable<string> Constants(Type type) =>
        type.GetFields(BindingFlags.Static | BindingFlags.Public).Where(field => field.IsLiteral).Select(field => (string)field.GetRawConstantValue()!);

    [GeneratedRegex("[0-9]{4}")]
    private static partial Regex Number();

    [GeneratedRegex("`([^`]+)`")]
    private static partial Regex Code();

    [GeneratedRegex(@"new Complaint\(\s*[$]?""")]
    private static partial Regex ComplaintOfText();
}
