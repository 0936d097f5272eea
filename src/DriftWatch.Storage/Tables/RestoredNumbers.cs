using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>
/// The revisions of a copy that is put back. After the copy was made the queues were told more, under revisions that the copy would
/// give out again for other news: receivers take what they have heard before for a repetition and drop it.
/// </summary>
internal static class RestoredNumbers
{
    /// <summary>More than is told of one job or alarm between a copy and its being put back.</summary>
    private const int Ahead = 1000;

    /// <summary>Puts all revisions of jobs and alarms ahead, on record and on the way out.</summary>
    public static void PutAhead(Session session)
    {
        foreach (string key in All(session, "SELECT key FROM job", row => row.Text(0)))
        {
            Statement row = session.Prepare("SELECT document FROM job WHERE key = ?1").Bind(1, key);
            _ = row.Row();
            Job job = StoredJson.Read(row, 0, StoredJson.Default.Job);
            _ = row.Reset();
            _ = session
                .Prepare("UPDATE job SET revision = revision + ?2, document = ?3 WHERE key = ?1")
                .Bind(1, key)
                .Bind(2, (long)Ahead)
                .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(job with { Revision = job.Revision + Ahead }, StoredJson.Default.Job))
                .Run();
        }

        foreach (AlarmNotice told in AlarmNoticeTable.Told(session))
        {
            AlarmNoticeTable.Put(session, told with { Revision = told.Revision + Ahead });
        }

        // The greatest first, so that no key is taken by one that is still to be changed.
        const string Notices = "SELECT sequence FROM notice ORDER BY coalesce(json_extract(document, '$.Job.Revision'), json_extract(document, '$.Revision'), 1) DESC";
        foreach (long sequence in All(session, Notices, row => row.Long(0)))
        {
            Statement row = session.Prepare("SELECT alarm, document FROM notice WHERE sequence = ?1").Bind(1, sequence);
            _ = row.Row();
            (string key, byte[] document) = row.Int(0) == 1
                ? Later(StoredJson.Read(row, 1, StoredJson.Default.AlarmNotice))
                : Later(StoredJson.Read(row, 1, StoredJson.Default.JobNotice));
            _ = row.Reset();
            _ = session.Prepare("UPDATE notice SET key = ?2, document = ?3 WHERE sequence = ?1").Bind(1, sequence).Bind(2, key).BindUtf8(3, document).Run();
        }
    }

    private static (string Key, byte[] Document) Later(AlarmNotice notice)
    {
        AlarmNotice later = notice with { Revision = notice.Revision + Ahead };
        return (later.Key, JsonSerializer.SerializeToUtf8Bytes(later, StoredJson.Default.AlarmNotice));
    }

    private static (string Key, byte[] Document) Later(JobNotice notice)
    {
        JobNotice later = notice with { Job = notice.Job with { Revision = notice.Job.Revision + Ahead } };
        return (later.Key, JsonSerializer.SerializeToUtf8Bytes(later, StoredJson.Default.JobNotice));
    }

    private static List<T> All<T>(Session session, string sql, Func<Statement, T> read)
    {
        List<T> all = [];
        Statement row = session.Prepare(sql);
        while (row.Row())
        {
            all.Add(read(row));
        }

        return all;
    }
}
