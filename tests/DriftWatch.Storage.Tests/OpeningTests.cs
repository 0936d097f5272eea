using DriftWatch.Storage.Tests.Support;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

public sealed class OpeningTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_newer_schema_is_refused_and_left_as_it_is()
    {
        _folder.Open().Dispose();
        Execute("PRAGMA user_version = 99");
        StoreUnavailableException refused = Assert.Throws<StoreUnavailableException>(() => _folder.Open());
        Assert.Contains("has schema 99, newer than", refused.Message, StringComparison.Ordinal);
        Assert.Equal(99L, Execute("PRAGMA user_version"));
    }

    [Fact]
    public void A_file_that_is_no_database_is_refused()
    {
        File.WriteAllText(_folder.File, new string('x', 5000));
        StoreUnavailableException refused = Assert.Throws<StoreUnavailableException>(() => _folder.Open());
        Assert.Contains(_folder.File, refused.Message, StringComparison.Ordinal);
        Assert.Contains("restore a copy", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_cannot_be_made_is_told()
    {
        File.WriteAllText(_folder.File, "");
        string below = Path.Combine(_folder.File, "sub", "plant.db");
        StoreUnavailableException refused = Assert.Throws<StoreUnavailableException>(() => new PlantStore(new StoreOptions { Path = below }));
        Assert.Contains("folder", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once()
    {
        ArgumentException refused = Assert.Throws<ArgumentException>(() => new PlantStore(new StoreOptions
        {
            Path = " ",
            Channels = ["a", "a"],
            QuarantinedPerSource = 0,
            QuarantineSources = -1,
            LockTimeout = TimeSpan.FromSeconds(-1),
        }));
        Assert.Equal(5, refused.Message.Split(Environment.NewLine).Length);
    }

    [Fact]
    public void A_write_while_another_process_holds_the_file_fails_whole_and_works_afterwards()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, LockTimeout = TimeSpan.Zero });
        using (SqliteConnection other = Connect())
        {
            using SqliteCommand hold = other.CreateCommand();
            hold.CommandText = "BEGIN IMMEDIATE";
            _ = hold.ExecuteNonQuery();
            StoreUnavailableException refused = Assert.Throws<StoreUnavailableException>(() => store.Commit(Given.Reading("V-1", 1)));
            Assert.Contains("Another process holds the file", refused.Message, StringComparison.Ordinal);
            Assert.Empty(store.ReadingCounts());
        }

        store.Commit(Given.Reading("V-1", 1));
        _ = Assert.Single(store.ReadingCounts());
    }

    [Fact]
    public void A_commit_is_in_the_write_ahead_log_for_all_to_see_when_it_returns()
    {
        using PlantStore store = _folder.Open();
        Assert.Equal("wal", Execute("PRAGMA journal_mode"));
        using SqliteConnection other = Connect();
        store.Commit(Given.Reading("V-1", 1));
        using SqliteCommand count = other.CreateCommand();
        count.CommandText = "SELECT count(*) FROM recent";
        Assert.Equal(1L, count.ExecuteScalar());
    }

    private SqliteConnection Connect()
    {
        SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = _folder.File, Pooling = false }.ConnectionString);
        connection.Open();
        return connection;
    }

    private object? Execute(string sql)
    {
        using SqliteConnection connection = Connect();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Literals of this test.
        command.CommandText = sql;
#pragma warning restore CA2100
        return command.ExecuteScalar();
    }
}
