using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Job notices, and for each channel whether it has taken them.</summary>
internal static class OutboxTable
{
    public static void Add(Session session, JobNotice notice, IReadOnlyList<string> channels)
    {
        Statement added = session
            .Prepare("INSERT INTO notice (key, document) VALUES (?1, ?2) ON CONFLICT (key) DO NOTHING RETURNING sequence")
            .Bind(1, notice.Key)
            .BindUtf8(2, JsonSerializer.SerializeToUtf8Bytes(notice, StoredJson.Default.JobNotice));
        if (!added.Row())
        {
            return;
        }

        long sequence = added.Long(0);
        _ = added.Run();
        foreach (string channel in channels)
        {
            _ = session.Prepare("INSERT INTO delivery (channel, sequence) VALUES (?1, ?2)").Bind(1, channel).Bind(2, sequence).Run();
        }
    }

    public static IReadOnlyList<OutboxEntry> Pending(Session session, string channel, int limit)
    {
        Statement row = session
            .Prepare(
                """
                SELECT delivery.sequence, document, tries FROM delivery JOIN notice ON notice.sequence = delivery.sequence
                WHERE channel = ?1 AND delivered = 0 ORDER BY delivery.sequence LIMIT ?2
                """)
            .Bind(1, channel)
            .Bind(2, (long)limit);
        List<OutboxEntry> entries = [];
        while (row.Row())
        {
            entries.Add(new OutboxEntry(row.Long(0), StoredJson.Read(row, 1, StoredJson.Default.JobNotice), row.Int(2)));
        }

        return entries;
    }

    public static void MarkDelivered(Session session, string channel, long sequence) =>
        session
            .Prepare("UPDATE delivery SET delivered = 1, last_error = NULL WHERE channel = ?1 AND sequence = ?2")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Run();

    public static void MarkFailed(Session session, string channel, long sequence, string failure) =>
        session
            .Prepare("UPDATE delivery SET tries = tries + 1, last_error = ?3 WHERE channel = ?1 AND sequence = ?2 AND delivered = 0")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Bind(3, failure)
            .Run();
}
