using System.Globalization;
using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests.Support;

/// <summary>Puts a row into every table that a store of some schema has, beside vessel 1 (V-1) with a window, a job and its notice.</summary>
internal static class FullStore
{
    public static void Fill(Session session)
    {
        HashSet<string> tables = [.. Tables(session)];
        DateTimeOffset at = Given.Instant();
        Put("INSERT OR IGNORE INTO assessment VALUES (1, ?1)", JsonSerializer.SerializeToUtf8Bytes(Given.Assessment(1), StoredJson.Default.Assessment));
        session.Prepare("INSERT OR IGNORE INTO checkpoint VALUES (1, ?1, ?2)").Bind(1, at.UtcTicks).Bind(2, FollowerState.Start.ToStored()).Run();
        When("alarm_change", () => AlarmTable.Add(session, 1, new AlarmChange("V-1", AlarmKind.BelowLowerLimit, at, AlarmEvent.ConditionOn, Priority.Medium, "below")));
        When("alarm_action", () => AlarmTable.Add(session, new AlarmAction("V-1", AlarmKind.BelowLowerLimit, at, AlarmEvent.Acknowledge, "H. Example", "", at, null)));
        When("reading_block", () =>
        {
            long ticks = Given.Instant(-480).UtcTicks;
            session.Execute(string.Create(CultureInfo.InvariantCulture, $"INSERT INTO vessel (id, name, readings, earliest, latest) VALUES (2, 'V-2', 1, {ticks}, {ticks})"));
            BlockTable.Put(session, 2, Slots.DayOf(ticks), [new Reading(Signal.GasPressure, Given.Instant(-480), 9.5e6)]);
        });
        When("roll_up", () => RollUpTable.Put(session, 2, Slots.DayOf(Given.Instant(-960).UtcTicks), [new HourlyRollUp(Signal.GasPressure, Given.Instant(-960), 1, 1, 1, 1)]));
        When("spool", () =>
        {
            SpoolTable.Add(session, "V-1", Given.Window(3), withdrawn: false);
            SpoolTable.Add(session, [Given.Reading("V-1", 3)]);
        });
        When("source_memory", () => SourceMemoryTable.Put(session, [new SourceMemory("plant/gateway", new byte[] { 1 }, new byte[] { 2 }, [new HeldMessage(1, new byte[] { 3 })], [])]));
        When("answer", () => AnswerTable.Record(session, new JobAnswer("a-1", Given.Job("V-1").Key, AnswerKind.Taken, "M. Fitter", at), "mqtt", "signature", at));
        if (tables.Contains("answer"))
        {
            // Since answers are taken, notices can be dead letters.
            session.Prepare("INSERT INTO delivery (channel, sequence, tries, refusals, last_error, set_aside) SELECT 'mail', min(sequence), 3, 3, 'refused', ?1 FROM notice").Bind(1, at.UtcTicks).Run();
        }

        When("person", () => PersonTable.Put(session, new Account { Person = new Person("p-1", "H. Example", Role.Engineer), PasswordHash = "hash", Made = at }));
        When("session", () => PersonTable.Open(session, "key", "p-1", at, "127.0.0.1"));
        When("audit", () => AuditTable.Add(session, new AuditEntry(at, "p-1", "H. Example", "127.0.0.1", "signed in")));
        When("work", () =>
        {
            _ = WorkTable.Record(session, new WorkRecord
            {
                Id = new Guid(1, 0, 0, new byte[8]),
                VesselId = "V-1",
                Kind = WorkKind.Charge,
                At = at,
                Who = "M. Fitter",
                GasPressureBarGauge = 90,
                GasTemperatureCelsius = 20,
                IsolatedAndReleased = true,
                Source = RecordSource.Api,
                EnteredBy = "m.fitter",
                Received = at,
            });
            _ = WorkTable.Void(session, new WorkVoid(new Guid(2, 0, 0, new byte[8]), new Guid(1, 0, 0, new byte[8]), "H. Example", "wrong vessel", RecordSource.Page, at));
        });
        When("basis", () => BasisTable.Put(session, 1, new VesselBasis("digest", [new BasisRecord(at, "charge")])));
        When("register_audit", () => RegisterAuditTable.Record(session, [new RegisterAuditEntry(at, "H. Example", RecordSource.Page, "V-1", "place", null, "Hall 2")], "{ }"));
        When("token", () => TokenTable.Add(session, new AccessToken("t-1", "p-1", "script", Role.Viewer, at, at.AddDays(30), null, null), "digest"));
        When("once", () => _ = TokenTable.Take(session, new Once("p-1", "k-1", "digest", at)));
        byte[] notice = JsonSerializer.SerializeToUtf8Bytes(
            new AlarmNotice(Alarm.Quiet("V-1", AlarmKind.DataFault), "Hall 2", 1, at, "data", "at fault"), StoredJson.Default.AlarmNotice);
        When("alarm_notice", () => Put("INSERT INTO alarm_notice (sequence, vessel, kind, newest, document) VALUES (1, 'V-1', 'DataFault', 1, ?1)", notice));
        When("alarm_delivery", () => session.Execute("INSERT INTO alarm_delivery (channel, sequence) VALUES ('mail', 1)"));
        When("alarm_told", () =>
        {
            Put("INSERT INTO alarm_told VALUES ('V-1', 'DataFault', ?1)", notice);
            Put("INSERT INTO notice (key, vessel, document, alarm) VALUES ('V-1/DataFault/1', 'V-1', ?1, 1)", notice);
        });

        void When(string table, Action fill)
        {
            if (tables.Contains(table))
            {
                fill();
            }
        }

        void Put(string sql, byte[] document) => session.Prepare(sql).BindUtf8(1, document).Run();
    }

    public static IEnumerable<string> Tables(Session session)
    {
        List<string> names = [];
        Statement row = session.Prepare("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name");
        while (row.Row())
        {
            names.Add(row.Text(0));
        }

        return names;
    }

    public static IReadOnlyList<string> Columns(Session session, string table)
    {
        List<string> names = [];
        Statement row = session.Prepare("SELECT name FROM pragma_table_info(?1)").Bind(1, table);
        while (row.Row())
        {
            names.Add(row.Text(0));
        }

        return names;
    }

    /// <summary>The rows of some columns, each as SQL writes it.</summary>
    public static IReadOnlyList<string> Rows(Session session, string table, IEnumerable<string> columns)
    {
        List<string> rows = [];
        Statement row = session.Prepare($"SELECT {string.Join(" || ', ' || ", columns.Select(column => $"quote(\"{column}\")"))} FROM \"{table}\"");
        while (row.Row())
        {
            rows.Add(row.Text(0));
        }

        return rows;
    }
}
