using System.Globalization;
using System.Text.Json;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
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
        Assert.Equal(job.Key, Assert.Single(store.Pending("files", 10, ["V-2"])).Notice.Job.Key);
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
