using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Alarm notices, what was told last of each alarm, and for each channel whether it has taken them.</summary>
internal static class AlarmNoticeTable
{
    public const string Creation =
        """
        CREATE TABLE alarm_notice (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            vessel TEXT NOT NULL,
            kind TEXT NOT NULL,
            newest INTEGER NOT NULL,
            document TEXT NOT NULL
        ) STRICT;
        CREATE UNIQUE INDEX alarm_notice_newest ON alarm_notice (vessel, kind) WHERE newest = 1;
        CREATE TABLE alarm_delivery (
            channel TEXT NOT NULL,
            sequence INTEGER NOT NULL REFERENCES alarm_notice,
            delivered INTEGER NOT NULL DEFAULT 0,
            set_aside INTEGER NOT NULL DEFAULT 0,
            tries INTEGER NOT NULL DEFAULT 0,
            last_error TEXT,
            PRIMARY KEY (channel, sequence)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX alarm_delivery_pending ON alarm_delivery (channel, sequence) WHERE delivered = 0 AND set_aside = 0;
        """;

    public static List<AlarmNotice> Told(Session session)
    {
        Statement row = session.Prepare("SELECT document FROM alarm_notice WHERE newest = 1 ORDER BY sequence");
        List<AlarmNotice> told = [];
        while (row.Row())
        {
            told.Add(StoredJson.Read(row, 0, StoredJson.Default.AlarmNotice));
        }

        return told;
    }

    public static void Add(Session session, AlarmNotice notice, IReadOnlyList<string> channels)
    {
        string kind = notice.Alarm.Kind.ToString();
        _ = session
            .Prepare("UPDATE alarm_notice SET newest = 0 WHERE vessel = ?1 AND kind = ?2 AND newest = 1")
            .Bind(1, notice.Alarm.VesselId)
            .Bind(2, kind)
            .Run();
        Statement added = session
            .Prepare("INSERT INTO alarm_notice (vessel, kind, newest, document) VALUES (?1, ?2, 1, ?3) RETURNING sequence")
            .Bind(1, notice.Alarm.VesselId)
            .Bind(2, kind)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(notice, StoredJson.Default.AlarmNotice));
        _ = added.Row();
        long sequence = added.Long(0);
        _ = added.Run();
        foreach (string channel in channels)
        {
            _ = session.Prepare("INSERT INTO alarm_delivery (channel, sequence) VALUES (?1, ?2)").Bind(1, channel).Bind(2, sequence).Run();
        }
    }

    public static IReadOnlyList<AlarmOutboxEntry> Pending(Session session, string channel, int limit)
    {
        Statement row = session
            .Prepare(
                """
                SELECT alarm_delivery.sequence, document, tries FROM alarm_delivery JOIN alarm_notice ON alarm_notice.sequence = alarm_delivery.sequence
                WHERE channel = ?1 AND delivered = 0 AND set_aside = 0 ORDER BY alarm_delivery.sequence LIMIT ?2
                """)
            .Bind(1, channel)
            .Bind(2, (long)limit);
        List<AlarmOutboxEntry> entries = [];
        while (row.Row())
        {
            entries.Add(new AlarmOutboxEntry(row.Long(0), StoredJson.Read(row, 1, StoredJson.Default.AlarmNotice), row.Int(2)));
        }

        return entries;
    }

    public static void MarkDelivered(Session session, string channel, long sequence) =>
        session
            .Prepare("UPDATE alarm_delivery SET delivered = 1, last_error = NULL WHERE channel = ?1 AND sequence = ?2")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Run();

    public static void MarkFailed(Session session, string channel, long sequence, string failure, bool setAside) =>
        session
            .Prepare("UPDATE alarm_delivery SET tries = tries + 1, last_error = ?3, set_aside = ?4 WHERE channel = ?1 AND sequence = ?2 AND delivered = 0")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Bind(3, failure)
            .Bind(4, setAside ? 1L : 0L)
            .Run();
}
