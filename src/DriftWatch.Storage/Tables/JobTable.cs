using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Jobs by key, open and closed.</summary>
internal static class JobTable
{
    /// <summary>Records what a notice says; false when it says nothing new.</summary>
    public static bool Apply(Session session, long vessel, JobNotice notice) =>
        notice.State == JobState.Open ? Open(session, vessel, notice) : Close(session, notice);

    public static IReadOnlyList<Job> StandingOpen(Session session, string vesselId)
    {
        Statement row = session
            .Prepare($"SELECT document FROM job WHERE vessel = {VesselTable.NumberOf} AND closed IS NULL ORDER BY raised, key")
            .Bind(1, vesselId);
        List<Job> jobs = [];
        while (row.Row())
        {
            jobs.Add(StoredJson.Read(row, 0, StoredJson.Default.Job));
        }

        return jobs;
    }

    public static IReadOnlyList<StoredJob> All(Session session)
    {
        Statement row = session.Prepare("SELECT document, closed, closed_because FROM job ORDER BY raised, key");
        List<StoredJob> jobs = [];
        while (row.Row())
        {
            Job job = StoredJson.Read(row, 0, StoredJson.Default.Job);
            jobs.Add(row.IsNull(1)
                ? new StoredJob(job, JobState.Open, null, "")
                : new StoredJob(job, JobState.Closed, Instants.FromTicks(row.Long(1)), row.Text(2)));
        }

        return jobs;
    }

    private static bool Open(Session session, long vessel, JobNotice notice) =>
        session
            .Prepare("INSERT INTO job (key, vessel, raised, document) VALUES (?1, ?2, ?3, ?4) ON CONFLICT (key) DO NOTHING")
            .Bind(1, notice.Job.Key)
            .Bind(2, vessel)
            .Bind(3, notice.Job.Raised.UtcTicks)
            .BindUtf8(4, JsonSerializer.SerializeToUtf8Bytes(notice.Job, StoredJson.Default.Job))
            .Run() == 1;

    /// <summary>A job that nobody raised is not closed either: the far side has never heard of it.</summary>
    private static bool Close(Session session, JobNotice notice) =>
        session
            .Prepare("UPDATE job SET closed = ?2, closed_because = ?3 WHERE key = ?1 AND closed IS NULL")
            .Bind(1, notice.Job.Key)
            .Bind(2, notice.At.UtcTicks)
            .Bind(3, notice.Why)
            .Run() == 1;
}
