namespace DriftWatch.Plant.Jobs;

/// <summary>
/// What of the news of one step a queue is told. A step may take in years, as when old logger files are imported or a machine was
/// switched off for weeks: nobody can act on what was over before it could be told.
/// </summary>
public static class LastWords
{
    /// <summary>
    /// Of each job its last notice, in the order of these. A job that the queue has never heard of and that has ended already is left
    /// out; one that stands is told as new, however often it has changed meanwhile.
    /// </summary>
    /// <param name="notices">What one step brought, in order.</param>
    /// <param name="told">Whether the queue has been told anything of a job, by its key.</param>
    public static IReadOnlyList<JobNotice> Of(IReadOnlyList<JobNotice> notices, Func<string, bool> told)
    {
        Dictionary<string, JobNotice> last = new(StringComparer.Ordinal);
        foreach (JobNotice notice in notices)
        {
            last[notice.Job.Key] = notice;
        }

        return
        [
            .. from notice in notices
               where ReferenceEquals(last[notice.Job.Key], notice)
               let known = told(notice.Job.Key)
               where known || notice.State == JobState.Open
               select known ? InPlaceOf(notice) : notice with { Why = "" },
        ];

        // A job that gave way to one that the queue never hears of ended as that one did.
        JobNotice InPlaceOf(JobNotice notice) =>
            notice.End == JobEnd.Superseded
            && last.Values.FirstOrDefault(other => other.State == JobState.Closed && other.Job.Raised == notice.At && !told(other.Job.Key)) is { } successor
                ? notice with { At = successor.At, Why = successor.Why, End = successor.End }
                : notice;
    }
}
