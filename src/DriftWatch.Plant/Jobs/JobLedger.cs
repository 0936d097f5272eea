using System.Globalization;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// Keeps at most one job standing for a vessel. A job is raised by the verdict, gives way to one of graver cause, and
/// ends with its cause. It depends on the assessments alone, so a replay of the data raises and ends the same jobs.
/// </summary>
public static class JobLedger
{
    /// <summary>Takes an assessment in.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="state">The job that stands.</param>
    /// <param name="assessment">The newest assessment.</param>
    /// <returns>The job that stands now, and what the queue is to be told, in order.</returns>
    public static (LedgerState State, IReadOnlyList<JobNotice> Notices) Advance(Vessel vessel, LedgerState state, Assessment assessment)
    {
        List<JobNotice> notices = [];
        JobCause? cause = CauseOf(assessment.Verdict);
        if (state.Open is { } open)
        {
            string? ended = Ended(open, state.Segment, assessment)
                ?? (cause is { } graver && Gravity(graver) > Gravity(open.Cause) ? "Replaced by a job of graver cause." : null);
            if (ended is null)
            {
                return (state, notices);
            }

            notices.Add(new JobNotice(open, JobState.Closed, assessment.AsOf, ended));
            state = LedgerState.Start;
        }

        if (cause is { } toRaise)
        {
            Job job = JobWriter.Write(vessel, toRaise, assessment);
            notices.Add(new JobNotice(job, JobState.Open, assessment.AsOf, ""));
            state = new LedgerState(job, assessment.Segment?.Number ?? -1);
        }

        return (state, notices);
    }

    private static JobCause? CauseOf(Verdict verdict) => verdict switch
    {
        Verdict.BelowLowerLimit => JobCause.BelowLowerLimit,
        Verdict.FallingFasterThanAllowed => JobCause.FallingFasterThanAllowed,
        Verdict.AboveUpperLimit => JobCause.AboveUpperLimit,
        Verdict.NoWindowTooLong => JobCause.NoWindowTooLong,
        _ => null,
    };

    private static int Gravity(JobCause cause) => cause switch
    {
        JobCause.BelowLowerLimit => 3,
        JobCause.FallingFasterThanAllowed => 2,
        JobCause.AboveUpperLimit => 1,
        _ => 0,
    };

    private static string? Ended(Job open, int segment, Assessment now)
    {
        if (open.Cause == JobCause.NoWindowTooLong)
        {
            return now.LastWindow > open.Raised ? $"A precharge window came on {Day(now.LastWindow.Value)}." : null;
        }

        if (now.Segment is null)
        {
            return segment >= 0 ? "The vessel was charged or bled (on record)." : null;
        }

        if (now.Segment.Number != segment && now.Segment.Cause is SegmentCause.RecordedCharge or SegmentCause.UnrecordedCharge)
        {
            return $"The vessel was charged or bled on {Day(now.Segment.Start)}.";
        }

        return open.Cause switch
        {
            JobCause.BelowLowerLimit when now.Verdict is Verdict.WithinLimits or Verdict.AboveUpperLimit => "The precharge is back above its lower limit.",
            JobCause.AboveUpperLimit when now.Verdict is Verdict.WithinLimits or Verdict.BelowLowerLimit or Verdict.FallingFasterThanAllowed => "The precharge is back below its upper limit.",
            JobCause.FallingFasterThanAllowed when now.Verdict == Verdict.WithinLimits => "The loss is no longer above the allowed rate.",
            _ => null,
        };
    }

    private static string Day(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
