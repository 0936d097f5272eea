using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>What the data did to the alarms, which late readings may replace, and what people did, which stands for ever.</summary>
internal static class AlarmTable
{
    public const string Creation =
        """
        CREATE TABLE alarm_change (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            vessel INTEGER NOT NULL REFERENCES vessel,
            at INTEGER NOT NULL,
            document TEXT NOT NULL
        ) STRICT;
        CREATE INDEX alarm_change_vessel ON alarm_change (vessel, at);
        CREATE TABLE alarm_action (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            document TEXT NOT NULL
        ) STRICT;
        """;

    public static void RemoveAfter(Session session, long vessel, DateTimeOffset instant) =>
        session.Prepare("DELETE FROM alarm_change WHERE vessel = ?1 AND at > ?2").Bind(1, vessel).Bind(2, instant.UtcTicks).Run();

    public static void Add(Session session, long vessel, AlarmChange change) =>
        session
            .Prepare("INSERT INTO alarm_change (vessel, at, document) VALUES (?1, ?2, ?3)")
            .Bind(1, vessel)
            .Bind(2, change.At.UtcTicks)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(change, StoredJson.Default.AlarmChange))
            .Run();

    public static void Add(Session session, AlarmAction action) =>
        session
            .Prepare("INSERT INTO alarm_action (document) VALUES (?1)")
            .BindUtf8(1, JsonSerializer.SerializeToUtf8Bytes(action, StoredJson.Default.AlarmAction))
            .Run();

    /// <summary>Newest change and action, and how many changes there are: late readings may take some back.</summary>
    public static (long NewestChange, long NewestAction, long Changes) Version(Session session)
    {
        Statement row = session.Prepare(
            "SELECT (SELECT coalesce(max(sequence), 0) FROM alarm_change), (SELECT coalesce(max(sequence), 0) FROM alarm_action), (SELECT count(*) FROM alarm_change)");
        _ = row.Row();
        (long, long, long) version = (row.Long(0), row.Long(1), row.Long(2));
        _ = row.Reset();
        return version;
    }

    /// <summary>The alarms as changes and actions make them.</summary>
    public static AlarmBook Book(Session session, DateTimeOffset asOf) =>
        AlarmBook.At(Changes(session.Prepare("SELECT document FROM alarm_change ORDER BY sequence")), Actions(session), asOf);

    /// <summary>Those of one vessel.</summary>
    public static AlarmBook Book(Session session, DateTimeOffset asOf, string vesselId) => AlarmBook.At(
        Changes(session.Prepare($"SELECT document FROM alarm_change WHERE vessel = {VesselTable.NumberOf} ORDER BY sequence").Bind(1, vesselId)),
        Actions(session).Where(action => action.VesselId == vesselId),
        asOf);

    private static List<AlarmChange> Changes(Statement row)
    {
        List<AlarmChange> changes = [];
        while (row.Row())
        {
            changes.Add(StoredJson.Read(row, 0, StoredJson.Default.AlarmChange));
        }

        return changes;
    }

    private static List<AlarmAction> Actions(Session session)
    {
        List<AlarmAction> actions = [];
        Statement row = session.Prepare("SELECT document FROM alarm_action ORDER BY sequence");
        while (row.Row())
        {
            actions.Add(StoredJson.Read(row, 0, StoredJson.Default.AlarmAction));
        }

        return actions;
    }
}
