using System.CommandLine;
using System.Globalization;
using DriftWatch.Host.Commands;
namespace DriftWatch.Host.Tests;

/// <summary>What the program tells a user who gets something wrong.</summary>
public sealed class CommandLineTests
{
    [Fact]
    public async Task A_register_with_defects_is_refused_with_all_of_them()
    {
        using TemporaryFolder folder = new();
        string register = File.ReadAllText(Path.Combine(Repository.SampleStreams, "register.json"))
            .Replace("\"type\": \"piston\"", "\"type\": \"balloon\"", StringComparison.Ordinal)
            .Replace("\"gasVolumeLitres\": 50", "\"gasVolumeLitres\": -50", StringComparison.Ordinal);
        await File.WriteAllTextAsync(folder.File("register.json"), register, TestContext.Current.CancellationToken);
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("register", "check", folder.File("register.json"));
        Assert.Equal(2, exitCode);
        Assert.Contains("balloon", errors, StringComparison.Ordinal);
        Assert.Contains("gasVolumeLitres", errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_good_register_passes()
    {
        (int exitCode, string output, _) = await ProgramRun.ToEndAsync("register", "check", Path.Combine(Repository.SampleStreams, "register.json"));
        Assert.Equal(0, exitCode);
        Assert.Contains("16 vessels, no defects", output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("run", "--settings", "/nowhere/driftwatch.json")]
    [InlineData("assess", "/nowhere")]
    [InlineData("assess", "sample-streams", "--unit", "furlong")]
    [InlineData("assess", "sample-streams", "--as-of", "tomorrow")]
    [InlineData("records", "check", "V", "--by", "N", "--celsius", "20", "--bar-gauge", "8,5")]
    [InlineData("records", "charge", "V", "--by", "N", "--nitrogen-kg", "NaN")]
    [InlineData("fly")]
    public async Task Bad_calls_end_with_2_and_a_reason(params string[] arguments)
    {
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync(arguments);
        Assert.Equal(2, exitCode);
        Assert.Contains(arguments[^1], errors, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", errors, StringComparison.Ordinal); // No stack traces for people.
    }

    /// <summary>Where a comma parts the decimals, 62.5 bar would be 625, and elsewhere 62,5: a record is never changed.</summary>
    [Theory]
    [InlineData("de-DE")]
    [InlineData("en-US")]
    public void A_number_is_read_alike_whatever_the_language_of_the_machine(string language)
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo(language);
            Assert.Equal(62.5, RecordsCommand.Create().Parse("check V --by N --bar-gauge 62.5").GetValue<double?>("--bar-gauge"));
            Assert.NotEmpty(RecordsCommand.Create().Parse("check V --by N --bar-gauge 62,5").Errors);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public async Task Example_settings_can_be_run_from_but_for_their_register()
    {
        using TemporaryFolder folder = new();
        (int exitCode, string output, _) = await ProgramRun.ToEndAsync("example-settings");
        Assert.Equal(0, exitCode);
        await File.WriteAllTextAsync(folder.File("driftwatch.json"), output, TestContext.Current.CancellationToken);
        (exitCode, _, string errors) = await ProgramRun.ToEndAsync("run", "--settings", folder.File("driftwatch.json"));
        Assert.Equal(2, exitCode);
        Assert.Contains(folder.File("register.json"), errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Settings_with_faults_are_refused_with_each_field_named()
    {
        using TemporaryFolder folder = new();
        await File.WriteAllTextAsync(
            folder.File("driftwatch.json"),
            """{ "register": "register.json", "broker": { "port": 99999, "version": "4" }, "pressureUnit": "atm" }""",
            TestContext.Current.CancellationToken);
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("run", "--settings", folder.File("driftwatch.json"));
        Assert.Equal(2, exitCode);
        Assert.Contains("broker.port", errors, StringComparison.Ordinal);
        Assert.Contains("broker.version", errors, StringComparison.Ordinal);
        Assert.Contains("pressureUnit", errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task People_are_looked_after_from_the_command_line()
    {
        using TemporaryFolder folder = new();
        await File.WriteAllTextAsync(folder.File("driftwatch.json"), """{ "register": "register.json" }""", TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(folder.File("short"), "short\n", TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(folder.File("long"), "four words in a row\n", TestContext.Current.CancellationToken);
        (int exitCode, _, string errors) = await PeopleAsync("add", "Ada", "--role", "administrator", "--password-file", folder.File("short"));
        Assert.Equal(2, exitCode);
        Assert.Contains("12 to 128 characters", errors, StringComparison.Ordinal);
        (exitCode, _, _) = await PeopleAsync("add", "Ada", "--role", "administrator", "--password-file", folder.File("long"));
        Assert.Equal(0, exitCode);
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(folder.File("data")));
        }

        (exitCode, _, errors) = await PeopleAsync("disable", "ada");
        Assert.Equal(2, exitCode);
        Assert.Contains("last administrator", errors, StringComparison.Ordinal);
        (exitCode, _, errors) = await PeopleAsync("add", "Bea", "--role", "viewer");
        Assert.Equal(2, exitCode);
        Assert.Contains("--password-file", errors, StringComparison.Ordinal);
        (_, string output, _) = await PeopleAsync("list");
        Assert.Equal("Ada  administrator  may sign in  never signed in", output.Trim());

        // Somebody else knows the first password of all but the first administrator.
        foreach ((string name, string role) in new[] { ("Bea", "viewer"), ("Cleo", "administrator") })
        {
            (_, output, _) = await PeopleAsync("add", name, "--role", role, "--password-file", folder.File("long"));
            Assert.Contains("asked for a new password first", output, StringComparison.Ordinal);
        }

        using var store = new DriftWatch.Storage.PlantStore(new DriftWatch.Storage.StoreOptions { Path = folder.File("data", "driftwatch.db") });
        Assert.Equal(
            [("Ada", false), ("Bea", true), ("Cleo", true)],
            store.Accounts().Select(account => (account.Person.Name, account.MustChange)).Order());

        Task<(int, string, string)> PeopleAsync(params string[] arguments) =>
            ProgramRun.ToEndAsync(["people", .. arguments, "--settings", folder.File("driftwatch.json")]);
    }
}
