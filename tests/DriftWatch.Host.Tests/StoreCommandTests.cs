using System.Globalization;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Host.Tests;

/// <summary>Copies from the command line: looked through, put back, refused.</summary>
public sealed class StoreCommandTests : IDisposable
{
    private static readonly DateTimeOffset First = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);

    private readonly TemporaryFolder _folder = new();

    private string Store => _folder.File("data", "driftwatch.db");

    private string Copy => _folder.File("copy.db");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_copy_comes_back_and_one_with_a_fault_does_not()
    {
        string settings = await WithStoreAsync();
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync("store", "backup", Copy, "--settings", settings);
        Assert.True(exitCode == 0, output + errors);
        AddReadings(1);

        (exitCode, output, errors) = await ProgramRun.ToEndAsync("store", "restore", Copy, "--settings", settings);
        Assert.True(exitCode == 0, output + errors);
        Assert.Contains("All of it can be read.", output, StringComparison.Ordinal);
        Assert.Contains($"{Store} is now the copy; what was there stands in {Store}.before-", output, StringComparison.Ordinal);
        Assert.Equal(1, Readings());

        _ = Execute(Copy, "DELETE FROM recent");
        (exitCode, output, errors) = await ProgramRun.ToEndAsync("store", "restore", Copy, "--settings", settings);
        Assert.True(exitCode == 3, output + errors);
        Assert.Contains("Vessel A1 should have 1 readings and has 0.", errors, StringComparison.Ordinal);
        Assert.Contains("The copy is not put back.", errors, StringComparison.Ordinal);
        Assert.Equal(1, Readings());
    }

    [Fact]
    public async Task Of_an_older_copy_it_is_said_what_was_looked_at()
    {
        string settings = await WithStoreAsync();
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync("store", "backup", Copy, "--settings", settings);
        Assert.True(exitCode == 0, output + errors);
        long older = (long)Execute(Copy, "PRAGMA user_version")! - 1;
        _ = Execute(Copy, string.Create(CultureInfo.InvariantCulture, $"PRAGMA user_version = {older}"));

        (exitCode, output, errors) = await ProgramRun.ToEndAsync("store", "verify", Copy);
        Assert.True(exitCode == 0, output + errors);
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"schema {older} of an older version, 1 vessels"), output, StringComparison.Ordinal);
        Assert.Contains("Its pages, indices and references are whole.", output, StringComparison.Ordinal);
        Assert.DoesNotContain("All of it can be read.", output, StringComparison.Ordinal);
    }

    /// <summary>A store with one reading; gives the settings file.</summary>
    private async Task<string> WithStoreAsync()
    {
        string settings = _folder.File("driftwatch.json");
        await File.WriteAllTextAsync(
            settings,
            SettingsJson.Write(new ServiceSettings { Register = Path.Combine(Repository.SampleStreams, "register.json") }),
            TestContext.Current.CancellationToken);
        AddReadings(0);
        return settings;
    }

    private void AddReadings(int minute)
    {
        using PlantStore store = new(new StoreOptions { Path = Store });
        _ = store.Commit([new VesselReading("A1", new Reading(Signal.GasPressure, First.AddMinutes(minute), 1e7))], []);
    }

    private long Readings()
    {
        using PlantStore store = new(new StoreOptions { Path = Store });
        return Assert.Single(store.ReadingCounts()).Count;
    }

    private static object? Execute(string file, string sql)
    {
        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ConnectionString);
        connection.Open();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Literals of this test.
        command.CommandText = sql;
#pragma warning restore CA2100
        return command.ExecuteScalar();
    }
}
