using DriftWatch.Storage.Tests.Support;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

/// <summary>Copies of the store, and what a look through one finds.</summary>
public sealed class StoreCopyTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    private readonly StoreFolder _folder = new();

    private string Copy => _folder.File + ".copy";

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_copy_holds_the_moment_it_was_made_at_and_comes_back()
    {
        using (PlantStore store = Filled())
        {
            StoreCopy.Make(_folder.File, Copy);
            store.Commit(Given.Reading("V-1", 900));
            StoreUnavailableException used = Assert.Throws<StoreUnavailableException>(() => StoreCopy.PutBack(Copy, _folder.File, Now));
            Assert.Contains("is in use", used.Message, StringComparison.Ordinal);
        }

        StoreReport now = StoreVerification.Of(_folder.File);
        StoreReport copied = StoreVerification.Of(Copy);
        Assert.Equal(now.Readings, copied.Readings + 1);
        Assert.Empty(copied.Faults);
        Assert.True(copied.Blocks > 0);
        string before = StoreCopy.PutBack(Copy, _folder.File, Now)!;
        Assert.EndsWith(".before-20260301T120000Z", before, StringComparison.Ordinal);
        Assert.Equal(copied.Readings, StoreVerification.Of(_folder.File).Readings);
        Assert.Equal(now.Readings, StoreVerification.Of(before).Readings);
        Assert.Empty(Directory.GetFiles(Path.GetDirectoryName(_folder.File)!, "*.incoming"));
    }

    [Fact]
    public void An_older_copy_is_not_overwritten_and_what_is_not_there_is_told()
    {
        Filled().Dispose();
        StoreCopy.Make(_folder.File, Copy);
        Assert.Contains("is there already", Assert.Throws<IOException>(() => StoreCopy.Make(_folder.File, Copy)).Message, StringComparison.Ordinal);
        Assert.Contains("nowhere", Assert.Throws<FileNotFoundException>(() => StoreCopy.Make(_folder.File + ".nowhere", Copy + "2")).Message, StringComparison.Ordinal);
        Assert.False(File.Exists(Copy + "2"));
    }

    /// <summary>A store is put back for this above all.</summary>
    [Fact]
    public void A_damaged_store_gives_way()
    {
        Filled().Dispose();
        StoreCopy.Make(_folder.File, Copy);
        File.WriteAllText(_folder.File, new string('x', 5000));
        Assert.NotNull(StoreCopy.PutBack(Copy, _folder.File, Now));
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
    }

    [Theory]
    [InlineData("UPDATE reading_block SET content = zeroblob(40) WHERE id = (SELECT min(id) FROM reading_block)", "The packed day ")]
    [InlineData("UPDATE reading_block SET readings = readings + 1 WHERE id = (SELECT min(id) FROM reading_block)", "The packed day ")]
    [InlineData("UPDATE precharge_window SET document = '{}'", "The window ")]
    [InlineData("UPDATE checkpoint SET state = x'0102030405'", "The state ")]
    [InlineData("DELETE FROM recent", "Vessel V-1 should have ")]
    [InlineData("PRAGMA foreign_keys = OFF; INSERT INTO delivery (channel, sequence) VALUES ('files', 99)", "A row of table delivery ")]
    public void What_is_wrong_is_found(string damage, string found)
    {
        Filled().Dispose();
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
        using (SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = _folder.File, Pooling = false }.ConnectionString))
        {
            connection.Open();
            using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Damage of this test.
            command.CommandText = damage;
#pragma warning restore CA2100
            _ = command.ExecuteNonQuery();
        }

        Assert.Contains(StoreVerification.Of(_folder.File).Faults, fault => fault.StartsWith(found, StringComparison.Ordinal));
    }

    [Fact]
    public void A_flipped_byte_of_a_page_is_found()
    {
        Filled().Dispose();
        byte[] file = File.ReadAllBytes(_folder.File);
        bool found = false;
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);

        // Not each byte carries meaning; a whole page of noise always does somewhere.
        for (int page = 1; page < file.Length / 4096 && !found; page++)
        {
            byte[] spoilt = [.. file];
            random.NextBytes(spoilt.AsSpan(page * 4096, 4096));
            File.WriteAllBytes(Copy, spoilt);
            try
            {
                found = StoreVerification.Of(Copy).Faults.Count > 0;
            }
            catch (StoreUnavailableException)
            {
                found = true;
            }
        }

        Assert.True(found);
    }

    private PlantStore Filled()
    {
        PlantStore store = _folder.Open("files");
        store.Commit([.. Enumerable.Range(0, 500).Select(hour => Given.Reading("V-1", hour, hour))], []);
        store.Save(Given.Step("V-1", 300, Given.Opened(Given.Job("V-1"))) with { Windows = [Given.Window(1)], Checkpoint = new(Given.Instant(300), Plant.Following.FollowerState.Start.ToStored()) });
        store.Tend(Given.Instant(400), TestContext.Current.CancellationToken);
        return store;
    }
}
