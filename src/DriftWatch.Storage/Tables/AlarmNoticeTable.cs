using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>What was told last of each alarm.</summary>
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

    /// <summary>
    /// Alarm notices go into the one outbox, so that they wait, are tried, set aside and sent again as those of jobs; only what
    /// was told last of each alarm stands apart. When one was set aside was not noted before: it counts as now.
    /// </summary>
    public const string OneOutbox =
        """
        ALTER TABLE notice ADD COLUMN alarm INTEGER NOT NULL DEFAULT 0;
        CREATE TABLE alarm_told (
            vessel TEXT NOT NULL,
            kind TEXT NOT NULL,
            document TEXT NOT NULL,
            PRIMARY KEY (vessel, kind)
        ) STRICT, WITHOUT ROWID;
        INSERT INTO alarm_told SELECT vessel, kind, document FROM alarm_notice WHERE newest = 1;
        INSERT INTO notice (key, vessel, document, alarm)
            SELECT vessel || '/' || kind || '/' || json_extract(document, '$.Revision'), vessel, document, 1 FROM alarm_notice ORDER BY sequence;
        INSERT INTO delivery (channel, sequence, delivered, set_aside, tries, last_error)
            SELECT channel, notice.sequence, delivered, CASE WHEN set_aside = 1 THEN unixepoch() * 10000000 + 621355968000000000 END, tries, last_error
            FROM alarm_delivery
            JOIN alarm_notice ON alarm_notice.sequence = alarm_delivery.sequence
            JOIN notice ON notice.key = alarm_notice.vessel || '/' || kind || '/' || json_extract(alarm_notice.document, '$.Revision');
        DROP TABLE alarm_delivery;
        DROP TABLE alarm_notice;
        """;

    public static List<AlarmNotice> Told(Session session)
    {
        Statement row = session.Prepare("SELECT document FROM alarm_told");
        List<AlarmNotice> told = [];
        while (row.Row())
        {
            told.Add(StoredJson.Read(row, 0, StoredJson.Default.AlarmNotice));
        }

        return told;
    }

    public static void Put(Session session, AlarmNotice notice) =>
        session
            .Prepare("INSERT INTO alarm_told (vessel, kind, document) VALUES (?1, ?2, ?3) ON CONFLICT (vessel, kind) DO UPDATE SET document = ?3")
            .Bind(1, notice.Alarm.VesselId)
            .Bind(2, notice.Alarm.Kind.ToString())
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(notice, StoredJson.Default.AlarmNotice))
            .Run();
}
