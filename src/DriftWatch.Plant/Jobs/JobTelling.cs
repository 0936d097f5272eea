using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// What the queue is still to be told, given what it was told last of each job. Readings that come late, or a state that
/// is made anew, let the ledger tell things again: what is old news is left out, and where the picture has changed the
/// job as it is now goes out under a new revision. Without such a change the notices pass as they are. Of the jobs of one
/// cause the one that stands has the last word.
/// </summary>
public static class JobTelling
{
    private const string LateReadings = "Readings that came late changed the picture.";

    /// <summary>The notices to send, in order.</summary>
    /// <param name="told">The last notice of each job of the vessel that the queue was told of.</param>
    /// <param name="notices">What the ledger has to tell now, in order.</param>
    /// <param name="ledger">The jobs that stand after it.</param>
    /// <param name="asOf">The moment, UTC.</param>
    public static IReadOnlyList<JobNotice> Outstanding(
        IReadOnlyList<JobNotice> told, IReadOnlyList<JobNotice> notices, LedgerState ledger, DateTimeOffset asOf)
    {
        Dictionary<string, JobNotice> last = told.ToDictionary(notice => notice.Job.Key, StringComparer.Ordinal);
        Dictionary<string, JobNotice> now = new(StringComparer.Ordinal);
        List<JobNotice> outstanding = [];
        foreach (JobNotice notice in notices)
        {
            now[notice.Job.Key] = notice;
            if (!last.TryGetValue(notice.Job.Key, out JobNotice? before) || notice.Job.Revision > before.Job.Revision)
            {
                Send(notice);
            }
        }

        foreach (StandingJob standing in ledger.Standing)
        {
            if (!now.ContainsKey(standing.Job.Key))
            {
                now.Add(standing.Job.Key, new JobNotice(standing.Job, JobState.Open, asOf, ""));
            }
        }

        foreach ((string key, JobNotice notice) in now)
        {
            if (!last.TryGetValue(key, out JobNotice? before))
            {
                Send(notice);
            }
            else if (!SaysTheSame(before, notice))
            {
                bool renewed = before.State == JobState.Open && notice.State == JobState.Open && notice.Why.Length == 0;
                Send(notice with
                {
                    Job = notice.Job with { Revision = before.Job.Revision + 1 },
                    Why = renewed ? LateReadings : notice.Why,
                });
            }
        }

        foreach (JobNotice notice in told.Where(notice => notice.State == JobState.Open && !now.ContainsKey(notice.Job.Key)))
        {
            Send(new JobNotice(notice.Job with { Revision = notice.Job.Revision + 1 }, JobState.Closed, asOf, LateReadings)
            {
                End = JobEnd.Withdrawn,
            });
        }

        foreach (StandingJob standing in ledger.Standing)
        {
            GiveTheLastWord(standing.Job);
        }

        return outstanding;

        // A channel may keep one word a vessel and cause: it is to be that on the job that stands, not on one that has gone.
        void GiveTheLastWord(Job job)
        {
            int spoken = outstanding.FindLastIndex(notice => notice.Job.Cause == job.Cause);
            if (spoken < 0 || outstanding[spoken].Job.Key == job.Key)
            {
                return;
            }

            List<JobNotice> own = outstanding.FindAll(notice => notice.Job.Key == job.Key);
            if (own.Count == 0)
            {
                Send(new JobNotice(job with { Revision = last[job.Key].Job.Revision + 1 }, JobState.Open, asOf, LateReadings));
                return;
            }

            _ = outstanding.RemoveAll(notice => notice.Job.Key == job.Key);
            outstanding.AddRange(own);
        }

        void Send(JobNotice notice)
        {
            last[notice.Job.Key] = notice;
            outstanding.Add(notice);
        }
    }

    /// <summary>Whether two notices leave the same with the receiver; which revision they are and when is not looked at.</summary>
    private static bool SaysTheSame(JobNotice one, JobNotice other) =>
        one.State == other.State && one.End == other.End && (one.State == JobState.Open || one.Why == other.Why)
        && Content(one.Job).AsSpan().SequenceEqual(Content(other.Job));

    private static byte[] Content(Job job) =>
        JsonSerializer.SerializeToUtf8Bytes(job with { Revision = 1 }, JobTellingJson.Default.Job);
}

[JsonSourceGenerationOptions(NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals)]
[JsonSerializable(typeof(Job))]
internal sealed partial class JobTellingJson : JsonSerializerContext;
