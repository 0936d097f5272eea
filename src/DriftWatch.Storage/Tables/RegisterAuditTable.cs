using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Who changed what in the register, and the text of the file that it led to.</summary>
internal static class RegisterAuditTable
{
    public const string Creation =
        """
        CREATE TABLE register_audit (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            at INTEGER NOT NULL,
            who TEXT NOT NULL,
            source TEXT NOT NULL,
            vessel TEXT NOT NULL,
            field TEXT NOT NULL,
            before TEXT,
            after TEXT
        ) STRICT;
        CREATE INDEX register_audit_vessel ON register_audit (vessel, sequence);
        CREATE TABLE register_file (id INTEGER PRIMARY KEY CHECK (id = 1), text TEXT NOT NULL) STRICT;
        """;

    /// <summary>Every row, by its number.</summary>
    public const string Rows = "SELECT sequence, at, who, source, vessel, field, before, after FROM register_audit";

    private const string Columns = "SELECT at, who, source, vessel, field, before, after FROM register_audit";

    public static void Record(Session session, IReadOnlyList<RegisterAuditEntry> entries, string text)
    {
        foreach (RegisterAuditEntry entry in entries)
        {
            _ = session
                .Prepare("INSERT INTO register_audit (at, who, source, vessel, field, before, after) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")
                .Bind(1, entry.At.UtcTicks)
                .Bind(2, entry.Who)
                .Bind(3, entry.Source.ToString())
                .Bind(4, entry.VesselId)
                .Bind(5, entry.Field)
                .BindOrNull(6, entry.Before)
                .BindOrNull(7, entry.After)
                .Run();
        }

        _ = session
            .Prepare("INSERT INTO register_file (id, text) VALUES (1, ?1) ON CONFLICT (id) DO UPDATE SET text = excluded.text")
            .Bind(1, text)
            .Run();
    }

    /// <summary>The entry whose columns begin at one.</summary>
    public static RegisterAuditEntry Entry(Statement row, int first) => new(
        Instants.FromTicks(row.Long(first)), row.Text(first + 1), Enum.Parse<RecordSource>(row.Text(first + 2)), row.Text(first + 3), row.Text(first + 4),
        row.IsNull(first + 5) ? null : row.Text(first + 5), row.IsNull(first + 6) ? null : row.Text(first + 6));

    public static string? Text(Session session)
    {
        Statement row = session.Prepare("SELECT text FROM register_file");
        string? text = row.Row() ? row.Text(0) : null;
        _ = row.Reset();
        return text;
    }

    public static IReadOnlyList<RegisterAuditEntry> Read(Session session, string? vesselId, int limit)
    {
        Statement row = vesselId is null
            ? session.Prepare(Columns + " ORDER BY sequence DESC LIMIT ?1").Bind(1, (long)limit)
            : session.Prepare(Columns + " WHERE vessel = ?2 ORDER BY sequence DESC LIMIT ?1").Bind(1, (long)limit).Bind(2, vesselId);
        List<RegisterAuditEntry> entries = [];
        while (row.Row())
        {
            entries.Add(Entry(row, 0));
        }

        return entries;
    }
}
