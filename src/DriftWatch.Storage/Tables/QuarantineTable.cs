using System.Security.Cryptography;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Messages that could not be read: all counted, the newest of each source kept, the sources bounded too.</summary>
internal static class QuarantineTable
{
    /// <summary>Reasons longer than this are cut; they hold names that came from outside.</summary>
    private const int LongestReason = 4000;

    /// <summary>
    /// A sample of each payload with its whole length and digest, and a running sum of their bytes. The digest of older rows is
    /// not known.
    /// </summary>
    public const string Samples =
        """
        ALTER TABLE quarantine ADD COLUMN length INTEGER;
        ALTER TABLE quarantine ADD COLUMN digest BLOB;
        UPDATE quarantine SET length = length(payload), payload = substr(payload, 1, 4096);
        CREATE INDEX quarantine_by_digest ON quarantine (source, digest);
        INSERT INTO mark VALUES ('quarantined bytes', (SELECT coalesce(sum(length(payload)), 0) FROM quarantine));
        CREATE TRIGGER quarantine_entered AFTER INSERT ON quarantine BEGIN
            UPDATE mark SET value = value + length(new.payload) WHERE name = 'quarantined bytes';
        END;
        CREATE TRIGGER quarantine_left AFTER DELETE ON quarantine BEGIN
            UPDATE mark SET value = value - length(old.payload) WHERE name = 'quarantined bytes';
        END;
        """;

    /// <summary>
    /// Enters messages. The same bytes from the same source are kept once, with their newest arrival: a broker delivers a
    /// message again that was committed but not acknowledged, and a faulty source often says the same again and again.
    /// </summary>
    public static void Insert(Session session, IReadOnlyCollection<QuarantinedMessage> messages, StoreOptions options)
    {
        if (messages.Count == 0)
        {
            return;
        }

        HashSet<long> touched = [];
        foreach (QuarantinedMessage message in messages)
        {
            byte[] digest = SHA256.HashData(message.Payload.Span);
            string reason = message.Reason[..Math.Min(message.Reason.Length, LongestReason)];
            if (message.CountsOnce && IsKept(session, message.Source, reason, digest))
            {
                continue;
            }

            long source = Count(session, message.Source, 1);
            _ = session
                .Prepare("DELETE FROM quarantine WHERE source = ?1 AND digest = ?2")
                .Bind(1, source)
                .Bind(2, digest)
                .Run();
            _ = session
                .Prepare("INSERT INTO quarantine (source, arrived, reason, payload, length, digest) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")
                .Bind(1, source)
                .Bind(2, message.Arrived.UtcTicks)
                .Bind(3, reason)
                .Bind(4, message.Payload.Span[..Math.Min(message.Payload.Length, QuarantinedMessage.LongestSample)])
                .Bind(5, message.Length)
                .Bind(6, digest)
                .Run();
            _ = touched.Add(source);
        }

        foreach (long source in touched)
        {
            DropOldest(session, source, options.QuarantinedPerSource);
        }

        MergeOldestSources(session, options.QuarantineSources);
        while (MarkTable.Get(session, MarkTable.QuarantinedBytes) > options.QuarantineBytes)
        {
            // The counts of their sources stay.
            _ = session.Prepare("DELETE FROM quarantine WHERE sequence IN (SELECT sequence FROM quarantine ORDER BY sequence LIMIT 16)").Run();
        }
    }

    public static IReadOnlyList<QuarantineSource> Sources(Session session)
    {
        Statement row = session.Prepare(
            """
            SELECT s.name, s.messages, q.arrived, q.reason, q.payload, coalesce(q.length, length(q.payload)), q.digest
            FROM quarantine_source AS s LEFT JOIN quarantine AS q ON q.source = s.id
            ORDER BY s.name, q.sequence DESC
            """);
        List<QuarantineSource> sources = [];
        List<QuarantinedMessage> kept = [];
        while (row.Row())
        {
            string name = row.Text(0);
            if (sources.Count == 0 || sources[^1].Source != name)
            {
                kept = [];
                sources.Add(new QuarantineSource(name, row.Long(1), kept));
            }

            if (!row.IsNull(2))
            {
                kept.Add(new QuarantinedMessage(name, Instants.FromTicks(row.Long(2)), row.Text(3), row.Bytes(4).ToArray())
                {
                    Length = row.Long(5),
                    Digest = row.IsNull(6) ? null : Convert.ToHexString(row.Bytes(6)),
                });
            }
        }

        return sources;
    }

    private static bool IsKept(Session session, string source, string reason, byte[] digest)
    {
        Statement row = session
            .Prepare("SELECT 1 FROM quarantine WHERE source = (SELECT id FROM quarantine_source WHERE name = ?1) AND digest = ?2 AND reason = ?3")
            .Bind(1, source)
            .Bind(2, digest)
            .Bind(3, reason);
        bool kept = row.Row();
        _ = row.Reset();
        return kept;
    }

    /// <summary>Adds to the count of a source and gives its number; it is now the one heard last.</summary>
    private static long Count(Session session, string source, long messages)
    {
        Statement count = session
            .Prepare(
                """
                INSERT INTO quarantine_source (name, messages, newest)
                VALUES (?1, ?2, (SELECT coalesce(max(newest), 0) + 1 FROM quarantine_source))
                ON CONFLICT (name) DO UPDATE SET messages = messages + excluded.messages, newest = excluded.newest
                RETURNING id
                """)
            .Bind(1, source)
            .Bind(2, messages);
        _ = count.Row();
        long number = count.Long(0);
        _ = count.Run();
        return number;
    }

    private static void DropOldest(Session session, long source, int keep) =>
        session
            .Prepare(
                """
                DELETE FROM quarantine WHERE source = ?1 AND sequence <=
                    (SELECT sequence FROM quarantine WHERE source = ?1 ORDER BY sequence DESC LIMIT 1 OFFSET ?2)
                """)
            .Bind(1, source)
            .Bind(2, (long)keep)
            .Run();

    private static void MergeOldestSources(Session session, int keep)
    {
        Statement row = session
            .Prepare("SELECT id, messages FROM quarantine_source WHERE name <> ?1 ORDER BY newest DESC LIMIT -1 OFFSET ?2")
            .Bind(1, QuarantineSource.Earlier)
            .Bind(2, (long)keep);
        List<(long Source, long Messages)> oldest = [];
        while (row.Row())
        {
            oldest.Add((row.Long(0), row.Long(1)));
        }

        foreach ((long source, long messages) in oldest)
        {
            _ = Count(session, QuarantineSource.Earlier, messages);
            _ = session.Prepare("DELETE FROM quarantine_source WHERE id = ?1").Bind(1, source).Run();
        }
    }
}
