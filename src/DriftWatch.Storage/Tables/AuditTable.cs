using DriftWatch.Plant.People;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>What people did. Lines are added, never changed and never taken away: the database itself refuses it.</summary>
internal static class AuditTable
{
    public const string Creation =
        """
        CREATE TABLE audit (
            number INTEGER PRIMARY KEY AUTOINCREMENT,
            at INTEGER NOT NULL,
            person TEXT NOT NULL,
            person_name TEXT NOT NULL,
            origin TEXT NOT NULL,
            what TEXT NOT NULL,
            about TEXT NOT NULL,
            before TEXT NOT NULL,
            after TEXT NOT NULL
        ) STRICT;
        CREATE INDEX audit_about ON audit (about, number);
        CREATE TRIGGER audit_stays BEFORE UPDATE ON audit BEGIN SELECT raise(ABORT, 'the audit log is only added to'); END;
        CREATE TRIGGER audit_is_kept BEFORE DELETE ON audit BEGIN SELECT raise(ABORT, 'the audit log is only added to'); END;
        """;

    public static void Add(Session session, AuditEntry entry) =>
        session
            .Prepare("INSERT INTO audit (at, person, person_name, origin, what, about, before, after) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")
            .Bind(1, entry.At.UtcTicks)
            .Bind(2, entry.PersonId)
            .Bind(3, entry.PersonName)
            .Bind(4, entry.From)
            .Bind(5, entry.What)
            .Bind(6, entry.About)
            .Bind(7, entry.Before)
            .Bind(8, entry.After)
            .Run();

    /// <summary>Lines before a number, the newest first.</summary>
    public static IReadOnlyList<AuditLine> Before(Session session, long number, int limit, string? about, string? search)
    {
        Statement row = session
            .Prepare(
                """
                SELECT number, at, person, person_name, origin, what, about, before, after FROM audit
                WHERE number < ?1 AND (?2 = '' OR about = ?2)
                    AND (?3 = '' OR instr(lower(person_name || ' ' || what || ' ' || about || ' ' || origin), lower(?3)) > 0)
                ORDER BY number DESC LIMIT ?4
                """)
            .Bind(1, number)
            .Bind(2, about ?? "")
            .Bind(3, search ?? "")
            .Bind(4, (long)limit);
        List<AuditLine> lines = [];
        while (row.Row())
        {
            lines.Add(new AuditLine(row.Long(0), new AuditEntry(
                Instants.FromTicks(row.Long(1)), row.Text(2), row.Text(3), row.Text(4), row.Text(5), row.Text(6), row.Text(7), row.Text(8))));
        }

        return lines;
    }
}
