using System.Globalization;
using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Plant.People;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

/// <summary>
/// Files as each earlier version left them, made by running the steps it knew and filled as it would have: what they hold is
/// all there after an update, and goes on.
/// </summary>
public sealed class MigrationTests : IDisposable
{
    /// <summary>The step from which on recent readings stand by slots and the inbox is one row a vessel.</summary>
    private const int BySlots = 4;

    private readonly StoreFolder _folder = new();

    public static TheoryData<int> Earlier => [.. Enumerable.Range(1, Schema.Newest)];

    public void Dispose() => _folder.Dispose();

    [Theory]
    [MemberData(nameof(Earlier))]
    public void A_file_of_each_earlier_schema_keeps_all_it_has_and_goes_on(int schema)
    {
        Job job = Given.Job("V-1");
        using (Session old = new(_folder.File, SqliteOpenMode.ReadWriteCreate, TimeSpan.Zero))
        {
            Schema.Migrate(old, _folder.File, schema);
            Assert.Equal(schema, Schema.Taken(old));
            Fill(old, schema, job);
        }

        using PlantStore store = _folder.Open("files");
        Assert.Equal(
            [new Reading(Signal.GasTemperature, Given.Instant(), 293.5), new Reading(Signal.GasPressure, Given.Instant(), 1.5)],
            store.ReadingsAfter("V-1", DateTimeOffset.MinValue));
        Assert.Equal(new VesselReadingCount("V-1", 2, Given.Instant(), Given.Instant()), Assert.Single(store.ReadingCounts()));
        Assert.Equal(new VesselInbox("V-1", 41, Given.Instant()), Assert.Single(store.Waiting()));
        Assert.Equal([Given.Window(0)], store.Windows("V-1"));
        Assert.Equal(job.Key, Assert.Single(store.Jobs()).Job.Key);
        Assert.Empty(store.Pending("files", 10, ["V-1"]));
        Assert.Equal(job.Key, ((JobNotice)Assert.Single(store.Pending("files", 10, ["V-2"])).Notice).Job.Key);
        Assert.Equal("rubbish", Assert.Single(Assert.Single(store.Quarantine()).Kept).Reason);
        using (IVesselView view = store.View("V-1"))
        {
            Assert.Equal(DateTimeOffset.MinValue, view.HeldFrom);
        }

        store.Commit(Given.Reading("V-1", 1), Given.Reading("V-1", 0, 9));
        Assert.Equal(3, Assert.Single(store.ReadingCounts()).Count);
        Assert.True(Assert.Single(store.Waiting()).InboxSequence > 41);
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
    }

    /// <summary>Every table that there was holds a row, and every row is there after the update, whole and readable.</summary>
    [Theory]
    [MemberData(nameof(Earlier))]
    public void Each_table_of_each_earlier_schema_keeps_its_rows(int schema)
    {
        Dictionary<string, (IReadOnlyList<string> Columns, IReadOnlyList<string> Rows)> before = [];
        using (Session old = new(_folder.File, SqliteOpenMode.ReadWriteCreate, TimeSpan.Zero))
        {
            Schema.Migrate(old, _folder.File, schema);
            Fill(old, schema, Given.Job("V-1"));
            FullStore.Fill(old);
            foreach (string table in FullStore.Tables(old))
            {
                IReadOnlyList<string> columns = FullStore.Columns(old, table);
                before[table] = (columns, FullStore.Rows(old, table, columns));
                Assert.NotEmpty(before[table].Rows);
            }
        }

        _folder.Open("files", "mail").Dispose();
        using (Session now = new(_folder.File, SqliteOpenMode.ReadOnly, TimeSpan.Zero))
        {
            HashSet<string> tables = [.. FullStore.Tables(now)];
            foreach ((string table, (IReadOnlyList<string> columns, IReadOnlyList<string> rows)) in before.Where(table => tables.Contains(table.Key)))
            {
                Assert.Subset(FullStore.Rows(now, table, columns).ToHashSet(), rows.ToHashSet());
            }

            // What gave way to another table: the first test above follows readings and the inbox.
            string[] gone = [.. before.Keys.Where(table => !tables.Contains(table))];
            Assert.Empty(gone.Except(["reading", "inbox", "alarm_notice", "alarm_delivery"]));
        }

        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
        using PlantStore store = _folder.Open("files", "mail");
        if (before.ContainsKey("answer"))
        {
            Assert.Equal("refused", Assert.Single(store.DeadLetters()).Error);
        }

        if (before.ContainsKey("alarm_notice"))
        {
            Assert.Equal("V-1/DataFault/1", Assert.Single(store.Pending("mail", 10)).Notice.Key);
        }
    }

    /// <summary>A copy from before an update may be all that is left.</summary>
    [Theory]
    [MemberData(nameof(Earlier))]
    public void A_copy_of_each_earlier_schema_is_looked_at_and_put_back(int schema)
    {
        string copy = _folder.File + ".copy";
        using (Session old = new(copy, SqliteOpenMode.ReadWriteCreate, TimeSpan.Zero))
        {
            Schema.Migrate(old, copy, schema);
            Fill(old, schema, Given.Job("V-1"));
        }

        StoreReport seen = StoreVerification.Of(copy);
        Assert.Equal((schema, 1, 1, 1, schema == Schema.Newest), (seen.Schema, seen.Vessels, seen.Windows, seen.Jobs, seen.RecordsRead));
        Assert.Empty(seen.Faults);
        RestoredCopy restored = StoreCopy.PutBack(copy, _folder.File, new AuditEntry(Given.Instant(), "", "R. Example", "command line", "store put back"));
        Assert.Empty(restored.Report.Faults);
        Assert.Equal((schema, Schema.Newest, 2), (restored.FormerSchema, restored.Report.Schema, restored.Report.Readings));
        Assert.Equal(schema, StoreVerification.Of(copy).Schema);
        using PlantStore store = _folder.Open("files");
        Assert.Equal(2, Assert.Single(store.ReadingCounts()).Count);
        Assert.Equal("V-1/job-1/open/1001", Assert.Single(store.Pending("files", 10)).Notice.Key);
        Assert.Equal(1001, Assert.Single(store.LastNotices("V-1")).Job.Revision);
    }

    [Fact]
    public void Days_rolled_up_before_that_was_noted_count_as_gone()
    {
        using (Session old = new(_folder.File, SqliteOpenMode.ReadWriteCreate, TimeSpan.Zero))
        {
            Schema.Migrate(old, _folder.File, Schema.Newest);
            Fill(old, Schema.Newest, Given.Job("V-1"));
            RollUpTable.Put(old, 1, Slots.DayOf(Given.Instant(-48).UtcTicks), [new HourlyRollUp(Signal.GasPressure, Given.Instant(-48), 1, 1, 1, 1)]);
            old.ExecuteScript("ALTER TABLE vessel DROP COLUMN rolled_up;");
            old.ExecuteScript(VesselTable.Retention);
        }

        using PlantStore store = _folder.Open();
        using IVesselView view = store.View("V-1");
        Assert.Equal(new DateTimeOffset(Given.Instant(-24).UtcDateTime.Date, TimeSpan.Zero), view.HeldFrom);
    }

    /// <summary>Alarm notices stood apart from those of jobs up to the schema before.</summary>
    [Fact]
    public void Alarm_notices_that_wait_or_are_set_aside_go_into_the_one_outbox_and_nothing_is_told_anew()
    {
        int apart = Schema.Before(AlarmNoticeTable.OneOutbox);
        using (Session old = new(_folder.File, SqliteOpenMode.ReadWriteCreate, TimeSpan.Zero))
        {
            Schema.Migrate(old, _folder.File, apart);
            Fill(old, apart, Given.Job("V-1"));
            for (int sequence = 1; sequence <= 3; sequence++)
            {
                Alarm alarm = Alarm.Quiet(sequence == 3 ? "V-2" : "V-1", AlarmKind.DataFault) with { Status = AlarmStatus.Normal with { State = AlarmState.Unacknowledged, ConditionOn = true } };
                AlarmNotice notice = new(alarm, "Bay 1", sequence == 3 ? 1 : sequence, Given.Instant(sequence), "data", "at fault");
                old.Prepare("INSERT INTO alarm_notice (sequence, vessel, kind, newest, document) VALUES (?1, ?2, 'DataFault', ?3, ?4)")
                    .Bind(1, sequence).Bind(2, alarm.VesselId).Bind(3, sequence == 1 ? 0L : 1L)
                    .BindUtf8(4, JsonSerializer.SerializeToUtf8Bytes(notice, StoredJson.Default.AlarmNotice)).Run();
            }

            old.ExecuteScript(
                """
                INSERT INTO alarm_delivery (channel, sequence, delivered, set_aside, tries, last_error) VALUES
                    ('mqtt', 1, 1, 0, 0, NULL), ('mqtt', 2, 0, 0, 4, 'away'), ('mail', 1, 0, 1, 2, 'refused'), ('mail', 3, 0, 0, 0, NULL);
                """);
        }

        using PlantStore store = new(new StoreOptions { Path = _folder.File, Channels = ["files"], AlarmChannels = ["mqtt", "mail"] });
        OutboxEntry waiting = Assert.Single(store.Pending("mqtt", 10));
        Assert.Equal(("V-1/DataFault/2", 4), (waiting.Notice.Key, waiting.Tries));
        Assert.Equal("V-2/DataFault/1", Assert.Single(store.Pending("mail", 10)).Notice.Key);
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(("mail", "V-1/DataFault/1", 2, "refused"), (letter.Channel, letter.Notice.Key, letter.Tries, letter.Error));
        Assert.InRange(letter.SetAside, DateTimeOffset.UtcNow.AddHours(-1), DateTimeOffset.UtcNow);

        // The data never raised these alarms, so what is told now is that they are gone: under the next revision.
        Assert.Equal(2, store.TellAlarms(Given.Instant(9), _ => "Bay 1"));
        Assert.Equal("V-1/DataFault/3", store.Pending("mqtt", 10)[1].Notice.Key);
        Assert.Equal(2, store.Resend("mail", letter.Sequence));
        Assert.Empty(StoreVerification.Of(_folder.File).Faults);
    }

    private static void Fill(Session session, int schema, Job job)
    {
        long ticks = Given.Instant().UtcTicks;
        string readings = schema < BySlots
            ? $"""
              INSERT INTO vessel (id, name, readings) VALUES (1, 'V-1', 2);
              INSERT INTO reading VALUES (1, {ticks}, 1, 293.5), (1, {ticks}, 4, 1.5);
              INSERT INTO inbox (sequence, vessel, earliest) VALUES (41, 1, {ticks});
              """
            : $"""
              INSERT INTO vessel (id, name, readings, earliest, latest) VALUES (1, 'V-1', 0, NULL, NULL);
              INSERT INTO recent VALUES ({ticks} / 2160000000, 1, ({ticks} % 2160000000) * 8 + 1, 293.5), ({ticks} / 2160000000, 1, ({ticks} % 2160000000) * 8 + 4, 1.5);
              INSERT INTO waiting VALUES (1, 41, {ticks}, {ticks}, 2);
              UPDATE mark SET value = 41 WHERE name = 'commit';
              """;
        session.ExecuteScript(string.Create(
            CultureInfo.InvariantCulture,
            $"""
            {readings}
            INSERT INTO quarantine_source VALUES (1, 'a topic', 1, {ticks});
            INSERT INTO quarantine (sequence, source, arrived, reason, payload) VALUES (1, 1, {ticks}, 'rubbish', x'00');
            """));
        Put("INSERT INTO precharge_window VALUES (1, ?2, ?1)", JsonSerializer.SerializeToUtf8Bytes(Given.Window(0), StoredJson.Default.PrechargeWindow), Given.Window(0).Start.UtcTicks);
        Put("INSERT INTO job (key, vessel, raised, document) VALUES ('V-1/job-1', 1, ?2, ?1)", JsonSerializer.SerializeToUtf8Bytes(job, StoredJson.Default.Job), job.Raised.UtcTicks);
        byte[] notice = JsonSerializer.SerializeToUtf8Bytes(Given.Opened(job), StoredJson.Default.JobNotice);
        bool knowsVessel = schema >= 6;
        Put($"INSERT INTO notice (sequence, key, {(knowsVessel ? "vessel, " : "")}document) VALUES (?2, 'V-1/job-1/1', {(knowsVessel ? "'V-1', " : "")}?1)", notice, 7);
        session.Execute("INSERT INTO delivery (channel, sequence) VALUES ('files', 7)");

        void Put(string sql, byte[] document, long number) => session.Prepare(sql).BindUtf8(1, document).Bind(2, number).Run();
    }
}
