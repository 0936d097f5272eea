using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Jobs by key, open and closed.</summary>
internal static class JobTable
{
    /// <summary>Jobs that stand are few among those of years.</summary>
    public const string Standing = "CREATE INDEX job_standing ON job (vessel) WHERE closed IS NULL;";

    /// <summary>From the first schema to revisions and kinds of end.</summary>
    public const string Revisions =
        """
        ALTER TABLE job ADD COLUMN revision INTEGER NOT NULL DEFAULT 1;
        ALTER TABLE job ADD COLUMN ended TEXT;
        """;

    /// <summary>Records what a notice says; false when it says nothing new.</summary>
    public static bool Apply(Session session, long vessel, JobNotice notice) =>
        notice.State == JobState.Open ? Open(session, vessel, notice) : Close(session, notice);

    public static IReadOnlyList<JobNotice> LastNotices(Session session, string vesselId)
    {
        Statement row = session
            .Prepare($"SELECT document, closed, closed_because, ended FROM job WHERE vessel = {VesselTable.NumberOf} ORDER BY raised, key")
            .Bind(1, vesselId);
        List<JobNotice> notices = [];
        while (row.Row())
        {
            Job job = StoredJson.Read(row, 0, StoredJson.Default.Job);
            notices.Add(row.IsNull(1)
                ? new JobNotice(job, JobState.Open, job.Raised, "")
                : new JobNotice(job, JobState.Closed, Instants.FromTicks(row.Long(1)), row.Text(2)) { End = EndOf(row, 3) });
        }

        return notices;
    }

    public static IReadOnlyList<StoredJob> All(Session session) =>
        Read(session.Prepare("SELECT document, closed, closed_because, ended FROM job ORDER BY raised, key"));

    /// <summary>Those that stand, and those raised or ended in a span, its beginning included.</summary>
    public static IReadOnlyList<StoredJob> Within(Session session, DateTimeOffset from, DateTimeOffset to) => Read(session
        .Prepare(
            """
            SELECT document, closed, closed_because, ended FROM job
            WHERE closed IS NULL OR (closed >= ?1 AND closed < ?2) OR (raised >= ?1 AND raised < ?2)
            ORDER BY raised, key
            """)
        .Bind(1, from.UtcTicks)
        .Bind(2, to.UtcTicks));

    /// <summary>Ids of the vessels that have a job standing; no document is read, so that one that is damaged hides no other.</summary>
    public static IReadOnlyList<string> VesselsWithStanding(Session session)
    {
        Statement row = session.Prepare("SELECT DISTINCT name FROM job JOIN vessel ON vessel.id = job.vessel WHERE closed IS NULL");
        List<string> ids = [];
        while (row.Row())
        {
            ids.Add(row.Text(0));
        }

        return ids;
    }

    /// <summary>Why jobs stand, and since when, by the id of their vessel.</summary>
    public static ILookup<string, StandingCause> StandingCauses(Session session)
    {
        Statement row = session.Prepare(
            "SELECT name, json_extract(document, '$.Cause'), raised FROM job JOIN vessel ON vessel.id = job.vessel WHERE closed IS NULL AND json_valid(document)");
        List<(string Vessel, StandingCause Cause)> standing = [];
        while (row.Row())
        {
            standing.Add((row.Text(0), new StandingCause(Enum.Parse<JobCause>(row.Text(1)), Instants.FromTicks(row.Long(2)))));
        }

        return standing.ToLookup(job => job.Vessel, job => job.Cause, StringComparer.Ordinal);
    }

    private static List<StoredJob> Read(Statement row)
    {
        List<StoredJob> jobs = [];
        while (row.Row())
        {
            Job job = StoredJson.Read(row, 0, StoredJson.Default.Job);
            jobs.Add(row.IsNull(1)
                ? new StoredJob(job, JobState.Open, null, "")
                : new StoredJob(job, JobState.Closed, Instants.FromTicks(row.Long(1)), row.Text(2), EndOf(row, 3)));
        }

        return jobs;
    }

    /// <summary>A job that was closed stands again by a later revision.</summary>
    private static bool Open(Session session, long vessel, JobNotice notice) =>
        session
            .Prepare(
                """
                INSERT INTO job (key, vessel, raised, document, revision) VALUES (?1, ?2, ?3, ?4, ?5)
                ON CONFLICT (key) DO UPDATE
                SET document = excluded.document, revision = excluded.revision, closed = NULL, closed_because = NULL, ended = NULL
                WHERE excluded.revision > job.revision
                """)
            .Bind(1, notice.Job.Key)
            .Bind(2, vessel)
            .Bind(3, notice.Job.Raised.UtcTicks)
            .BindUtf8(4, JsonSerializer.SerializeToUtf8Bytes(notice.Job, StoredJson.Default.Job))
            .Bind(5, (long)notice.Job.Revision)
            .Run() == 1;

    /// <summary>A job that nobody raised is not closed either: the far side has never heard of it.</summary>
    private static bool Close(Session session, JobNotice notice) =>
        session
            .Prepare(
                """
                UPDATE job SET document = ?4, revision = ?5, closed = ?2, closed_because = ?3, ended = ?6
                WHERE key = ?1 AND revision < ?5
                """)
            .Bind(1, notice.Job.Key)
            .Bind(2, notice.At.UtcTicks)
            .Bind(3, notice.Why)
            .BindUtf8(4, JsonSerializer.SerializeToUtf8Bytes(notice.Job, StoredJson.Default.Job))
            .Bind(5, (long)notice.Job.Revision)
            .Bind(6, (notice.End ?? JobEnd.CauseEnded).ToString())
            .Run() == 1;

    private static JobEnd? EndOf(Statement row, int column) => row.IsNull(column) ? null : Enum.Parse<JobEnd>(row.Text(column));
}
