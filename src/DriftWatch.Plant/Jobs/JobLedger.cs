using System.Globalization;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// Keeps at most one job standing for a vessel and cause. A job is raised by the verdict, renewed when its prognosis
/// moves or its priority rises, and ends with its cause, by a charge or a check. Where one job holds all the work of
/// another ('below the lower limit' that of 'falling faster than allowed') only the graver stands: nobody is sent twice
/// for one visit. It depends on the assessments and the records of the vessel alone, so a replay of the data raises,
/// renews and ends the same jobs.
/// </summary>
public static class JobLedger
{
    /// <summary>Takes an assessment in.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="state">The jobs that stand.</param>
    /// <param name="assessment">The newest assessment.</param>
    /// <returns>The jobs that stand now, and what the queue is to be told, in order.</returns>
    public static (LedgerState State, IReadOnlyList<JobNotice> Notices) Advance(Vessel vessel, LedgerState state, Assessment assessment)
    {
        List<JobNotice> notices = [];
        List<StandingJob> standing = [];
        JobCause? cause = CauseOf(vessel, assessment);
        foreach (StandingJob job in state.Standing)
        {
            if (JobEnding.Of(vessel, job, assessment) is { } ending)
            {
                notices.Add(Closed(job.Job, assessment, ending));
            }
            else if (job.Job.Cause == JobCause.FallingFasterThanAllowed && cause == JobCause.BelowLowerLimit)
            {
                notices.Add(Closed(job.Job, assessment, new JobEnding(JobEnd.Superseded, "Replaced by the job for a precharge below its lower limit, which holds its work.")));
            }
            else
            {
                standing.Add(job.Job.Cause == cause && Renewed(vessel, job, assessment, notices) is { } renewed ? renewed : job);
            }
        }

        if (cause is { } wanted && !standing.Exists(job => Holds(job.Job.Cause, wanted)))
        {
            Job job = JobWriter.Write(vessel, wanted, assessment);
            notices.Add(new JobNotice(job, JobState.Open, assessment.AsOf, ""));
            standing.Add(new StandingJob(job, assessment.Segment?.Number ?? -1, assessment.Forecast?.Earliest));
        }

        return (new LedgerState(standing), notices);
    }

    /// <summary>Whether a job of one cause holds the work of another.</summary>
    private static bool Holds(JobCause standing, JobCause other) =>
        standing == other || (standing == JobCause.BelowLowerLimit && other == JobCause.FallingFasterThanAllowed);

    /// <summary>What the verdict asks for; nothing where it rests on windows from before the last charge or check.</summary>
    private static JobCause? CauseOf(Vessel vessel, Assessment now)
    {
        DateTimeOffset? charge = VesselRecords.LastCharge(vessel, now.AsOf);
        DateTimeOffset? check = VesselRecords.LastCheck(vessel, now.AsOf)?.At;
        return now.Verdict switch
        {
            Verdict.FallingFasterThanAllowed => now.LastWindow > charge || charge is null ? JobCause.FallingFasterThanAllowed : null,
            Verdict.BelowLowerLimit => Newer(JobCause.BelowLowerLimit),
            Verdict.AboveUpperLimit => Newer(JobCause.AboveUpperLimit),
            Verdict.NoWindowTooLong => check is null || now.AsOf - check > vessel.Specification.LongestSilence ? JobCause.NoWindowTooLong : null,
            _ => null,
        };

        JobCause? Newer(JobCause cause) =>
            (charge is null || now.LastWindow > charge)
            && (check is null || now.LastWindow > check || JobEnding.InsideLimits(vessel, now.AsOf, check.Value) is null)
                ? cause
                : null;
    }

    /// <summary>The job written anew when its prognosis has moved by more than the plant's set amount or its priority has risen.</summary>
    private static StandingJob? Renewed(Vessel vessel, StandingJob standing, Assessment now, List<JobNotice> notices)
    {
        bool graver = VesselRisk.Of(vessel.Specification, standing.Job.Cause, now).Priority > standing.Job.Priority;
        DateTimeOffset? earliest = now.Forecast?.Earliest;
        bool moved = standing.Job.Cause == JobCause.FallingFasterThanAllowed && Moved(standing.Earliest, earliest, vessel.Calendar.PrognosisShift);
        if (!graver && !moved)
        {
            return null;
        }

        string why = moved
            ? $"The earliest credible date of the lower limit moved from {Day(standing.Earliest)} to {Day(earliest)}."
            : "The priority has risen.";
        Job job = JobWriter.Renew(vessel, standing.Job, now, graver);
        notices.Add(new JobNotice(job, JobState.Open, now.AsOf, why));
        return new StandingJob(job, standing.Segment, earliest);
    }

    private static bool Moved(DateTimeOffset? told, DateTimeOffset? now, TimeSpan shift) =>
        told is null || now is null ? told != now : (now.Value - told.Value).Duration() > shift;

    private static JobNotice Closed(Job job, Assessment now, JobEnding ending) =>
        new(job with { Revision = job.Revision + 1 }, JobState.Closed, now.AsOf, ending.Why) { End = ending.End };

    private static string Day(DateTimeOffset? instant) =>
        instant is { } day ? day.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) : "no date";
}
