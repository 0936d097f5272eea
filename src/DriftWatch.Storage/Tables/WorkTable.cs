using System.Text.Json;
using DriftWatch.Plant.Records;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Work on record and what makes it void: rows are added and never changed.</summary>
internal static class WorkTable
{
    public const string Creation =
        """
        CREATE TABLE work (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            id TEXT NOT NULL UNIQUE,
            vessel TEXT NOT NULL,
            voids TEXT UNIQUE REFERENCES work (id),
            document TEXT NOT NULL
        ) STRICT;
        CREATE INDEX work_vessel ON work (vessel, sequence);
        """;

    private const string Entries =
        "SELECT work.sequence, work.document, voiding.document FROM work LEFT JOIN work AS voiding ON voiding.voids = work.id WHERE work.voids IS NULL";

    public static WorkOutcome Record(Session session, WorkRecord record)
    {
        Statement same = session.Prepare("SELECT document, voids FROM work WHERE id = ?1").Bind(1, Text(record.Id));
        if (same.Row())
        {
            bool repeated = same.IsNull(1) && StoredJson.Read(same, 0, StoredJson.Default.WorkRecord).SaysTheSameAs(record);
            _ = same.Reset();
            return repeated ? WorkOutcome.Repeated : WorkOutcome.IdUsed;
        }

        _ = session
            .Prepare("INSERT INTO work (id, vessel, document) VALUES (?1, ?2, ?3)")
            .Bind(1, Text(record.Id))
            .Bind(2, record.VesselId)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(record, StoredJson.Default.WorkRecord))
            .Run();
        return WorkOutcome.Recorded;
    }

    public static WorkOutcome Void(Session session, WorkVoid voiding)
    {
        Statement same = session.Prepare("SELECT document, voids FROM work WHERE id = ?1").Bind(1, Text(voiding.Id));
        if (same.Row())
        {
            bool repeated = !same.IsNull(1)
                && StoredJson.Read(same, 0, StoredJson.Default.WorkVoid) with { Source = voiding.Source, Received = voiding.Received } == voiding;
            _ = same.Reset();
            return repeated ? WorkOutcome.Repeated : WorkOutcome.IdUsed;
        }

        Statement record = session
            .Prepare("SELECT vessel, EXISTS (SELECT 1 FROM work AS voiding WHERE voiding.voids = work.id) FROM work WHERE id = ?1 AND voids IS NULL")
            .Bind(1, Text(voiding.RecordId));
        if (!record.Row())
        {
            return WorkOutcome.NoSuchRecord;
        }

        (string vessel, bool already) = (record.Text(0), record.Long(1) != 0);
        _ = record.Reset();
        if (already)
        {
            return WorkOutcome.VoidAlready;
        }

        _ = session
            .Prepare("INSERT INTO work (id, vessel, voids, document) VALUES (?1, ?2, ?3, ?4)")
            .Bind(1, Text(voiding.Id))
            .Bind(2, vessel)
            .Bind(3, Text(voiding.RecordId))
            .BindUtf8(4, JsonSerializer.SerializeToUtf8Bytes(voiding, StoredJson.Default.WorkVoid))
            .Run();
        return WorkOutcome.Recorded;
    }

    public static IReadOnlyList<WorkEntry> Of(Session session, string vesselId) =>
        Read(session.Prepare(Entries + " AND work.vessel = ?1 ORDER BY work.sequence").Bind(1, vesselId));

    public static IReadOnlyList<WorkEntry> All(Session session) => Read(session.Prepare(Entries + " ORDER BY work.sequence"));

    public static long Newest(Session session) => session.Prepare("SELECT max(sequence) FROM work").First() ?? 0;

    private static List<WorkEntry> Read(Statement row)
    {
        List<WorkEntry> entries = [];
        while (row.Row())
        {
            entries.Add(new WorkEntry(
                row.Long(0),
                StoredJson.Read(row, 1, StoredJson.Default.WorkRecord),
                row.IsNull(2) ? null : StoredJson.Read(row, 2, StoredJson.Default.WorkVoid)));
        }

        return entries;
    }

    private static string Text(Guid id) => id.ToString("D");
}
