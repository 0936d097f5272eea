using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
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
            Assert.False(File.Exists(_folder.File + ".incoming"), "A refused copy must not fill the disk.");
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
        string unmounted = Path.Combine(Path.GetDirectoryName(Copy)!, "unmounted");
        Assert.Contains(unmounted, Assert.Throws<DirectoryNotFoundException>(() => StoreCopy.Make(_folder.File, Path.Combine(unmounted, "copy.db"))).Message, StringComparison.Ordinal);
        Assert.False(Directory.Exists(unmounted));
        Assert.False(File.Exists(Copy + "2"));
    }

    /// <summary>Whatever keeps the copy from its place, nothing of its size stays behind.</summary>
    [Fact]
    public void A_copy_that_cannot_take_its_place_leaves_nothing_behind()
    {
        Filled().Dispose();
        StoreCopy.Make(_folder.File, Copy);
        File.WriteAllText(_folder.File + ".before-20260301T120000Z", "an older one");
        _ = Assert.Throws<IOException>(() => StoreCopy.PutBack(Copy, _folder.File, Now));
        Assert.False(File.Exists(_folder.File + ".incoming"));
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
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
    [InlineData("UPDATE notice SET document = '{' WHERE alarm = 0", "The notice ")]
    [InlineData("UPDATE notice SET document = '{' WHERE alarm = 1", "The alarm notice V-1/DataFault/1 ")]
    [InlineData("UPDATE alarm_told SET document = '{'", "The last word on an alarm V-1/DataFault ")]
    [InlineData("UPDATE alarm_change SET document = '{'", "The alarm change ")]
    [InlineData("UPDATE alarm_action SET document = '{'", "The alarm action ")]
    [InlineData("UPDATE answer SET document = '{'", "The answer a-1 ")]
    [InlineData("UPDATE work SET document = '{' WHERE voids IS NULL", "The work ")]
    [InlineData("UPDATE work SET document = '{' WHERE voids IS NOT NULL", "The voiding of work ")]
    [InlineData("UPDATE basis SET document = '{'", "The basis ")]
    [InlineData("UPDATE register_audit SET source = 'hearsay'", "The change of the register ")]
    [InlineData("UPDATE register_file SET text = '{'", "The register on record ")]
    [InlineData("UPDATE person SET role = 'king'", "The account p-1 ")]
    [InlineData("UPDATE session SET seen = -1", "The session of p-1 ")]
    [InlineData("UPDATE token SET expires = -1", "The token t-1 ")]
    [InlineData("DROP TRIGGER audit_stays; UPDATE audit SET at = -1", "The line of the audit log ")]
    [InlineData("UPDATE spool SET content = x'01'", "The waiting point ")]
    [InlineData("UPDATE quarantine SET arrived = -1", "The message set aside ")]
    [InlineData("UPDATE delivery SET set_aside = -1 WHERE set_aside IS NOT NULL", "The dead letter mail/")]
    [InlineData("DELETE FROM recent", "Vessel V-1 should have ")]
    [InlineData("PRAGMA foreign_keys = OFF; INSERT INTO delivery (channel, sequence) VALUES ('files', 99)", "A row of table delivery ")]
    public void What_is_wrong_is_found(string damage, string found)
    {
        using (PlantStore store = Filled())
        {
            store.SetAside(new QuarantinedMessage("a topic", Now, "rubbish", new byte[] { 0 }));
        }

        using (Session session = new(_folder.File, SqliteOpenMode.ReadWrite, TimeSpan.Zero))
        {
            FullStore.Fill(session);
            Assert.All(FullStore.Tables(session), table => Assert.NotEmpty(FullStore.Rows(session, table, FullStore.Columns(session, table))));
        }

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
