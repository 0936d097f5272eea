using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Answers of maintenance queues, one a sender's id.</summary>
internal static class AnswerTable
{
    public static AnswerOutcome Record(Session session, JobAnswer answer, string via, string authority, DateTimeOffset received)
    {
        bool known = session.Prepare("SELECT 1 FROM job WHERE key = ?1").Bind(1, answer.JobKey).First() is not null;
        if (!known)
        {
            return AnswerOutcome.NoSuchJob;
        }

        Statement same = session.Prepare("SELECT document FROM answer WHERE id = ?1").Bind(1, answer.Id);
        if (same.Row())
        {
            JobAnswer held = StoredJson.Read(same, 0, StoredJson.Default.JobAnswer);
            _ = same.Reset();
            return held == answer ? AnswerOutcome.Repeated : AnswerOutcome.IdUsed;
        }

        _ = session
            .Prepare("INSERT INTO answer (id, job, document, via, authority, received) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")
            .Bind(1, answer.Id)
            .Bind(2, answer.JobKey)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(answer, StoredJson.Default.JobAnswer))
            .Bind(4, via)
            .Bind(5, authority)
            .Bind(6, received.UtcTicks)
            .Run();
        return AnswerOutcome.Recorded;
    }

    public static IReadOnlyList<RecordedAnswer> After(Session session, long sequence, int limit)
    {
        Statement row = session
            .Prepare("SELECT sequence, document, via, authority, received FROM answer WHERE sequence > ?1 ORDER BY sequence LIMIT ?2")
            .Bind(1, sequence)
            .Bind(2, (long)limit);
        List<RecordedAnswer> answers = [];
        while (row.Row())
        {
            answers.Add(new RecordedAnswer(
                row.Long(0), StoredJson.Read(row, 1, StoredJson.Default.JobAnswer), row.Text(2), row.Text(3), Instants.FromTicks(row.Long(4))));
        }

        return answers;
    }
}
