using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tests.Support;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

/// <summary>Copies of the store, and what a look through one finds.</summary>
public sealed class StoreCopyTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    /// <summary>Who puts a copy back.</summary>
    private static readonly AuditEntry Line = new(Now, "", "R. Example", "command line", "store put back from a copy", After: "copy.db");

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
            StoreUnavailableException used = Assert.Throws<StoreUnavailableException>(() => StoreCopy.PutBack(Copy, _folder.File, Line));
            Assert.Contains("is in use", used.Message, StringComparison.Ordinal);
            Assert.False(File.Exists(_folder.File + ".incoming"), "A refused copy must not fill the disk.");
        }

        StoreReport now = StoreVerification.Of(_folder.File);
        StoreReport copied = StoreVerification.Of(Copy);
        Assert.Equal(now.Readings, copied.Readings + 1);
        Assert.Empty(copied.Faults);
        Assert.True(copied.Blocks > 0);
        string before = StoreCopy.PutBack(Copy, _folder.File, Line).Before!;
        Assert.EndsWith(".before-20260301T120000Z", before, StringComparison.Ordinal);
        Assert.Equal(copied.Readings, StoreVerification.Of(_folder.File).Readings);
        Assert.Equal(now.Readings, StoreVerification.Of(before).Readings);
        Assert.Empty(Directory.GetFiles(Path.GetDirectoryName(_folder.File)!, "*.incoming"));
        using PlantStore restored = _folder.Open();
        Assert.Equal(Line, restored.AuditBefore(long.MaxValue, 1).Single().Entry);
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
        _ = Assert.Throws<IOException>(() => StoreCopy.PutBack(Copy, _folder.File, Line));
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
        Assert.NotNull(StoreCopy.PutBack(Copy, _folder.File, Line).Before);
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
    }

    [Fact]
    public void A_copy_with_a_fault_is_not_put_back()
    {
        Filled().Dispose();
        StoreCopy.Make(_folder.File, Copy);
        Execute(Copy, "DELETE FROM recent");
        RestoredCopy refused = StoreCopy.PutBack(Copy, _folder.File, Line);
        Assert.StartsWith("Vessel V-1 should have ", Assert.Single(refused.Report.Faults), StringComparison.Ordinal);
        Assert.Null(refused.Before);
        Assert.Equal([Copy, _folder.File], Directory.GetFiles(Path.GetDirectoryName(_folder.File)!).OrderDescending(StringComparer.Ordinal));
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
    }

    /// <summary>An empty file would else be brought to this version's schema and put in the place of the store.</summary>
    [Fact]
    public void What_is_no_store_is_told_so_and_not_put_back()
    {
        Filled().Dispose();
        File.Create(Copy).Dispose();
        Assert.Contains("no store of this program", Assert.Throws<StoreUnavailableException>(() => StoreVerification.Of(Copy)).Message, StringComparison.Ordinal);
        Assert.Contains($"'{Copy}' is no store", Assert.Throws<StoreUnavailableException>(() => StoreCopy.PutBack(Copy, _folder.File, Line)).Message, StringComparison.Ordinal);
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
        Assert.False(File.Exists(_folder.File + ".incoming"));
    }

    /// <summary>To stop a service that does not run would mend nothing.</summary>
    [Fact]
    public void A_store_that_cannot_be_opened_is_not_said_to_be_in_use()
    {
        Filled().Dispose();
        File.Copy(_folder.File, Copy);
        Directory.CreateDirectory(_folder.File + "-wal");
        StoreUnavailableException refused = Assert.Throws<StoreUnavailableException>(() => StoreCopy.PutBack(Copy, _folder.File, Line));
        Assert.Contains(_folder.File, refused.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("in use", refused.Message, StringComparison.Ordinal);
    }

    /// <summary>The queues were told more after the copy was made, and drop what comes under a revision that they have heard.</summary>
    [Fact]
    public void After_a_copy_is_put_back_notices_bear_revisions_that_no_queue_has_heard_and_nobody_is_signed_in()
    {
        StoreOptions options = new() { Path = _folder.File, Channels = ["files"], AlarmChannels = ["mail"] };
        Job job = Given.Job("V-1");
        AuditEntry entry = new(Given.Instant(), "p-1", "H. Example", "127.0.0.1", "signed in");
        using (PlantStore store = new(options))
        {
            store.Save(Step(1, Given.Opened(job)) with
            {
                AlarmChanges = [new AlarmChange("V-1", AlarmKind.BelowLowerLimit, Given.Instant(1), AlarmEvent.ConditionOn, Priority.Medium, "below")],
            });
            Assert.Equal(1, store.TellAlarms(Given.Instant(1), _ => "Hall 2"));
            store.Add(new Account { Person = new Person("p-1", "H. Example", Role.Engineer), Made = entry.At }, entry);
            store.Open("key", "p-1", TimeSpan.FromDays(1), entry);
            StoreCopy.Make(_folder.File, Copy);
        }

        _ = StoreCopy.PutBack(Copy, _folder.File, Line);
        using PlantStore restored = new(options);
        Assert.NotNull(restored.AccountOf("p-1"));
        Assert.Null(restored.SessionOf("key"));

        // As the assessment goes on, whose own state knows the revisions of the copy.
        IReadOnlyList<JobNotice> closing = JobTelling.Outstanding(restored.LastNotices("V-1"), [Given.Closed(job)], LedgerState.Start, Given.Instant(5));
        restored.Save(Step(5, [.. closing]));
        Assert.Null(restored.Record(new AlarmAction("V-1", AlarmKind.BelowLowerLimit, Given.Instant(6), AlarmEvent.Acknowledge, "H. Example", "", Given.Instant(1), null)));
        Assert.Equal(1, restored.TellAlarms(Given.Instant(6), _ => "Hall 2"));
        Assert.Equal(["V-1/job-1/open/1001", "V-1/job-1/closed/1002"], restored.Pending("files", 10).Select(waiting => waiting.Notice.Key));
        Assert.Equal(["V-1/BelowLowerLimit/1001", "V-1/BelowLowerLimit/1002"], restored.Pending("mail", 10).Select(waiting => waiting.Notice.Key));
    }

    /// <summary>What the queue was told after the copy was made the copy does not know: told in full, the job does not stay open there.</summary>
    [Fact]
    public void A_job_from_before_the_copy_was_put_back_is_told_in_full()
    {
        using (PlantStore store = _folder.Open("files"))
        {
            store.Save(Step(1));
            StoreCopy.Make(_folder.File, Copy);
            store.Save(Step(2, Given.Opened(Given.Job("V-1"))));
        }

        _ = StoreCopy.PutBack(Copy, _folder.File, Line);
        using PlantStore restored = _folder.Open("files");
        Job before = Given.Job("V-1", raisedHours: (Line.At - Given.Instant(0)).TotalHours - 1);
        Job since = Given.Job("V-1", "since", raisedHours: (Line.At - Given.Instant(0)).TotalHours + 1);
        restored.Save(Step(3, Given.Opened(before), Given.Closed(before), Given.Opened(since), Given.Closed(since)));
        Assert.Equal(["V-1/job-1/open/1", "V-1/job-1/closed/2"], restored.Pending("files", 10).Select(waiting => waiting.Notice.Key));
    }

    /// <summary>A key is made of the revision, and none may come twice on the way.</summary>
    [Fact]
    public void Revisions_a_thousand_apart_are_put_ahead_together()
    {
        using (PlantStore store = _folder.Open("files"))
        {
            Job job = Given.Job("V-1");
            store.Save(Step(1, Given.Opened(job)));
            store.Save(Step(2, Given.Opened(job with { Revision = 1001 })));
        }

        StoreCopy.Make(_folder.File, Copy);
        Assert.Empty(StoreCopy.PutBack(Copy, _folder.File, Line).Report.Faults);
        using PlantStore restored = _folder.Open("files");
        Assert.Equal(["V-1/job-1/open/1001", "V-1/job-1/open/2001"], restored.Pending("files", 10).Select(waiting => waiting.Notice.Key));
        Assert.Equal(2001, Assert.Single(restored.LastNotices("V-1")).Job.Revision);
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
        Execute(_folder.File, damage);
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

    private static void Execute(string file, string sql)
    {
        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ConnectionString);
        connection.Open();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Damage of this test.
        command.CommandText = sql;
#pragma warning restore CA2100
        _ = command.ExecuteNonQuery();
    }

    private static VesselStep Step(double hours, params JobNotice[] notices) =>
        Given.Step("V-1", hours, notices) with { Checkpoint = new(Given.Instant(hours), Plant.Following.FollowerState.Start.ToStored()) };

    private PlantStore Filled()
    {
        PlantStore store = _folder.Open("files");
        store.Commit([.. Enumerable.Range(0, 500).Select(hour => Given.Reading("V-1", hour, hour))], []);
        store.Save(Step(300, Given.Opened(Given.Job("V-1"))) with { Windows = [Given.Window(1)] });
        store.Tend(Given.Instant(400), TestContext.Current.CancellationToken);
        return store;
    }
}
