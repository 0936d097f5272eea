using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using DriftWatch.Plant.Following;
using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage;

/// <summary>
/// Looks through a whole store, at one state of it and without changing anything: the database's own check of its pages and
/// indices, every packed day decoded and counted, every stored document read, and the counts kept against what is there.
/// </summary>
public static class StoreVerification
{
    private const int MostFaults = 100;

    private static readonly JsonDocumentOptions RegisterText = new() { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip };

    /// <summary>The report. Of a store of an older schema only pages, indices and references are looked at.</summary>
    /// <param name="path">The store or a copy of it; it may be in use.</param>
    /// <exception cref="StoreUnavailableException">It cannot be opened, is no store, or has a schema newer than this version's.</exception>
    public static StoreReport Of(string path) => Of(path, path);

    /// <summary>The report of a file that is spoken of by another name.</summary>
    internal static StoreReport Of(string path, string name)
    {
        try
        {
            using Session session = new(path, SqliteOpenMode.ReadOnly, TimeSpan.FromSeconds(30));
            session.Execute("BEGIN");
            return Look(session, name);
        }
        catch (SqliteException failure)
        {
            throw StoreFailure.From(failure, name);
        }
    }

    private static StoreReport Look(Session session, string name)
    {
        int schema = Schema.TakenByStore(session, name);
        List<string> faults = [];
        Statement check = session.Prepare($"PRAGMA integrity_check({MostFaults})");
        while (check.Row())
        {
            if (check.Text(0) is var line && line != "ok")
            {
                faults.Add(line);
            }
        }

        Statement foreign = session.Prepare("PRAGMA foreign_key_check");
        while (foreign.Row())
        {
            faults.Add($"A row of table {foreign.Text(0)} points to one of {foreign.Text(2)} that is not there.");
        }

        if (schema < Schema.Newest)
        {
            return new StoreReport(schema, Count(session, "vessel"), 0, 0, Count(session, "precharge_window"), Count(session, "job"), [.. faults.Take(MostFaults)])
            {
                RecordsRead = false,
            };
        }

        Dictionary<long, long> counted = [];
        long blocks = Blocks(session, counted, faults);
        Rows(session, counted);
        long vessels = Counts(session, counted, faults);
        Each(session, "SELECT id, content FROM roll_up", "roll-up", row => _ = RollUpBlock.Decode(row.Bytes(1)), faults);
        Each(session, "SELECT vessel || '/' || instant, state FROM checkpoint", "state", row => _ = FollowerState.FromStored(row.Bytes(1)), faults);
        long windows = Documents(session, "SELECT vessel || '/' || start, document FROM precharge_window", "window", StoredJson.Default.PrechargeWindow, faults);
        _ = Documents(session, "SELECT vessel, document FROM assessment", "assessment", StoredJson.Default.Assessment, faults);
        long jobs = Documents(session, "SELECT key, document FROM job", "job", StoredJson.Default.Job, faults);
        _ = Documents(session, "SELECT key, document FROM notice WHERE alarm = 0", "notice", StoredJson.Default.JobNotice, faults);
        _ = Documents(session, "SELECT key, document FROM notice WHERE alarm <> 0", "alarm notice", StoredJson.Default.AlarmNotice, faults);
        _ = Documents(session, "SELECT vessel || '/' || kind, document FROM alarm_told", "last word on an alarm", StoredJson.Default.AlarmNotice, faults);
        _ = Documents(session, "SELECT sequence, document FROM alarm_change", "alarm change", StoredJson.Default.AlarmChange, faults);
        _ = Documents(session, "SELECT sequence, document FROM alarm_action", "alarm action", StoredJson.Default.AlarmAction, faults);
        _ = Documents(session, "SELECT id, document FROM answer", "answer", StoredJson.Default.JobAnswer, faults);
        _ = Documents(session, "SELECT id, document FROM work WHERE voids IS NULL", "work", StoredJson.Default.WorkRecord, faults);
        _ = Documents(session, "SELECT id, document FROM work WHERE voids IS NOT NULL", "voiding of work", StoredJson.Default.WorkVoid, faults);
        _ = Documents(session, "SELECT vessel, document FROM basis", "basis", StoredJson.Default.VesselBasis, faults);
        Each(session, RegisterAuditTable.Rows, "change of the register", row => _ = RegisterAuditTable.Entry(row, 1), faults);
        Each(session, "SELECT 'before', text FROM register_file", "register on record", row => JsonDocument.Parse(row.Text(1), RegisterText).Dispose(), faults);
        Each(session, PersonTable.Rows, "account", row => _ = PersonTable.Read(row), faults);
        Each(session, "SELECT person, opened, seen FROM session", "session of", row => Dates(row, 1, 2), faults);
        Each(session, TokenTable.Rows, "token", row => _ = TokenTable.Read(row), faults);
        Each(session, "SELECT number, at FROM audit", "line of the audit log", row => Dates(row, 1), faults);
        Each(session, "SELECT sequence, kind, vessel, content, points FROM spool", "waiting point", row => SpoolTable.Add(new SpoolBatch(), row), faults);
        Each(session, "SELECT sequence, arrived FROM quarantine", "message set aside", row => Dates(row, 1), faults);
        Each(session, "SELECT channel || '/' || sequence, set_aside FROM delivery WHERE set_aside IS NOT NULL", "dead letter", row => Dates(row, 1), faults);
        return new StoreReport(schema, vessels, counted.Values.Sum(), blocks, windows, jobs, [.. faults.Take(MostFaults)]);
    }

    private static long Count(Session session, string table)
    {
        Statement row = session.Prepare($"SELECT count(*) FROM {table}");
        _ = row.Row();
        long rows = row.Long(0);
        _ = row.Reset();
        return rows;
    }

    private static long Blocks(Session session, Dictionary<long, long> counted, List<string> faults) => Each(
        session, "SELECT id, content, readings FROM reading_block", "packed day",
        row =>
        {
            Reading[] readings = ReadingBlock.Decode(row.Bytes(1));
            long day = BlockTable.DayOf(row.Long(0));
            if (readings.Length != row.Long(2) || Array.Exists(readings, reading => Slots.DayOf(reading.Instant.UtcTicks) != day))
            {
                throw new InvalidDataException($"It holds {readings.Length} readings, not {row.Long(2)}, or readings of another day.");
            }

            long vessel = BlockTable.VesselOf(row.Long(0));
            counted[vessel] = counted.GetValueOrDefault(vessel) + readings.Length;
        },
        faults);

    private static void Rows(Session session, Dictionary<long, long> counted)
    {
        Statement row = session.Prepare("SELECT vessel, count(*) FROM recent GROUP BY vessel");
        while (row.Row())
        {
            counted[row.Long(0)] = counted.GetValueOrDefault(row.Long(0)) + row.Long(1);
        }
    }

    /// <summary>Compares the counts kept of each vessel with what is there; gives how many vessels there are.</summary>
    private static long Counts(Session session, Dictionary<long, long> counted, List<string> faults)
    {
        Statement row = session.Prepare(
            "SELECT v.id, v.name, v.readings + coalesce(w.readings, 0) FROM vessel AS v LEFT JOIN waiting AS w ON w.vessel = v.id");
        long vessels = 0;
        while (row.Row())
        {
            vessels++;
            long there = counted.GetValueOrDefault(row.Long(0));
            if (row.Long(2) != there)
            {
                faults.Add(FormattableString.Invariant($"Vessel {row.Text(1)} should have {row.Long(2)} readings and has {there}."));
            }
        }

        return vessels;
    }

    private static long Documents<T>(Session session, string sql, string what, JsonTypeInfo<T> type, List<string> faults) => Each(
        session, sql, what, row => _ = StoredJson.Read(row, 1, type), faults);

    private static void Dates(Statement row, params ReadOnlySpan<int> columns)
    {
        foreach (int column in columns)
        {
            _ = Instants.FromTicks(row.Long(column));
        }
    }

    /// <summary>Reads each row; what throws is a fault. Gives how many there are.</summary>
    private static long Each(Session session, string sql, string what, Action<Statement> read, List<string> faults)
    {
        Statement row = session.Prepare(sql);
        long rows = 0;
        while (row.Row())
        {
            rows++;
            try
            {
                read(row);
            }
            catch (Exception exception) when (exception is InvalidDataException or JsonException or StoreUnavailableException or IndexOutOfRangeException or ArgumentException or OverflowException)
            {
                faults.Add($"The {what} {row.Text(0)} cannot be read: {exception.Message}");
            }
        }

        return rows;
    }
}
