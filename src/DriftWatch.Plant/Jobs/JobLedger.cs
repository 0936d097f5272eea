using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// Keeps at most one job standing for a vessel and cause. A job is raised by the verdict, renewed when its prognosis
/// moves, its priority rises, nearly all gas has gone or its queue answers, and ends with its cause, by a charge or a check,
/// or declined. Where one job holds all the work of another ('below the lower limit' that of 'falling faster than allowed')
/// only the graver stands: nobody is sent twice for one visit. It depends on the assessments and the records of the vessel alone, so a replay of the data raises,
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

        // Declined is a job only while what it was raised for goes on.
        List<DeclinedJob> declined = [.. state.Declined.Where(job => JobEnding.Of(vessel, job.Declined, assessment) is null)];
        foreach (StandingJob job in state.Standing)
        {
            JobAnswers answers = JobAnswers.Of(vessel, job.Job.Key, assessment.AsOf);
            if (JobEnding.Of(vessel, job, assessment) is { } ending)
            {
                notices.Add(Closed(job.Job, assessment, ending));
            }
            else if (job.Job.Cause == JobCause.FallingFasterThanAllowed && cause == JobCause.BelowLowerLimit)
            {
                notices.Add(Closed(job.Job, assessment, new JobEnding(JobEnd.Superseded, "Replaced by the job for a precharge below its lower limit, which holds its work.")));
            }
            else if (answers.Rejection is { } rejection)
            {
                notices.Add(Closed(job.Job, assessment, new JobEnding(JobEnd.Declined, $"Declined by {rejection.Who}: {rejection.Remark}")));
                declined.RemoveAll(other => other.Declined.Job.Cause == job.Job.Cause);
                declined.Add(new DeclinedJob(job, rejection.At + vessel.Calendar.RaiseDeclinedAfter));
            }
            else
            {
                standing.Add(Renewed(vessel, job, answers, cause, assessment, notices) ?? job);
            }
        }

        if (cause is { } wanted && !standing.Exists(job => Holds(job.Job.Cause, wanted))
            && !declined.Exists(job => Holds(job.Declined.Job.Cause, wanted) && !RaisesAgain(vessel, job, wanted, assessment)))
        {
            Job job = JobWriter.Write(vessel, wanted, assessment);
            notices.Add(new JobNotice(job, JobState.Open, assessment.AsOf, ""));
            standing.Add(new StandingJob(job, assessment.Segment?.Number ?? -1, assessment.Forecast?.Earliest));
            declined.RemoveAll(other => Holds(other.Declined.Job.Cause, wanted) || Holds(wanted, other.Declined.Job.Cause));
        }

        declined.RemoveAll(job => job.Until <= assessment.AsOf);
        return (new LedgerState(standing) { Declined = declined }, notices);
    }

    /// <summary>
    /// A standing job as somebody works from it now. The queue is told of a job only when something of it changes that moves the work,
    /// so its figures age: what is left, what is lost, the nitrogen needed. They are said anew by the newest assessment; what was agreed
    /// with the queue (key, revision, due date and why, priority, steps, parts) stays.
    /// </summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="job">The job as the queue was told.</param>
    /// <param name="now">The newest assessment; null for none.</param>
    /// <returns>The job with the figures of now; as it was told where the vessel does not ask for it any more.</returns>
    public static Job AsOfNow(Vessel vessel, Job job, Assessment? now)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(job);
        if (now is null || CauseOf(vessel, now) != job.Cause)
        {
            return job;
        }

        Job anew = JobWriter.Renew(vessel, job, now, graver: false);
        return job with
        {
            Reason = anew.Reason,
            LostUsableShare = anew.LostUsableShare,
            LowerLimitReached = anew.LowerLimitReached,
            RecommendedRecharge = anew.RecommendedRecharge,
            Evidence = anew.Evidence,
            ChargingTargets = anew.ChargingTargets,
            Filling = anew.Filling,
            NitrogenKg = anew.NitrogenKg,
            NitrogenStandardLitres = anew.NitrogenStandardLitres,
        };
    }

    /// <summary>Whether a declined job is raised again: it has become graver, its date has come nearer by more than the plant's set amount, or its time is over.</summary>
    private static bool RaisesAgain(Vessel vessel, DeclinedJob job, JobCause cause, Assessment now)
    {
        DateTimeOffset? told = job.Declined.Earliest;
        DateTimeOffset? earliest = now.Forecast?.Earliest;
        bool nearer = cause == JobCause.FallingFasterThanAllowed && earliest is { } date && (told is null || told - date > vessel.Calendar.PrognosisShift);
        return nearer || job.Until <= now.AsOf || HasEmptied(vessel, job.Declined.Job, cause, now)
            || VesselRisk.Of(vessel.Specification, cause, now).Priority > job.Declined.Job.Priority;
    }

    /// <summary>Whether nearly all gas is gone and the job does not say yet that the separator comes first: it asks for a charge that must wait.</summary>
    private static bool HasEmptied(Vessel vessel, Job job, JobCause cause, Assessment now) =>
        cause == JobCause.BelowLowerLimit && VesselRisk.NearlyGone(vessel.Specification, now)
        && !job.Steps.Contains(SeparatorCheck.BeforeCharging(vessel.Specification.Type));

    /// <summary>Whether a job of one cause holds the work of another.</summary>
    private static bool Holds(JobCause standing, JobCause other) =>
        standing == other || (standing == JobCause.BelowLowerLimit && other == JobCause.FallingFasterThanAllowed);

    /// <summary>
    /// What the verdict asks for; nothing where it rests on windows from before the last charge or check, until nothing was seen since
    /// for too long.
    /// </summary>
    private static JobCause? CauseOf(Vessel vessel, Assessment now)
    {
        DateTimeOffset? charge = VesselRecords.LastCharge(vessel, now.AsOf)?.At;
        DateTimeOffset? check = VesselRecords.LastCheck(vessel, now.AsOf)?.At;
        return now.Verdict switch
        {
            Verdict.FallingFasterThanAllowed => now.LastWindow > charge || charge is null ? JobCause.FallingFasterThanAllowed : null,
            Verdict.BelowLowerLimit => Newer(JobCause.BelowLowerLimit) ?? Unseen(),
            Verdict.AboveUpperLimit => Newer(JobCause.AboveUpperLimit) ?? Unseen(),
            Verdict.NoWindowTooLong => check is null || now.AsOf - check > vessel.Specification.LongestSilence ? JobCause.NoWindowTooLong : null,
            _ => null,
        };

        JobCause? Newer(JobCause cause) =>
            (charge is null || now.LevelSeen() > charge)
            && (check is null || now.LastWindow > check || JobEnding.InsideLimits(vessel, now.AsOf, check.Value) is null)
                ? cause
                : null;

        // The level stands before silence in the verdict, and would hide it for ever where a check has answered it.
        JobCause? Unseen()
        {
            DateTimeOffset seen = charge > now.HeardLast ? charge.Value : now.HeardLast;
            seen = check > seen ? check.Value : seen;
            return now.AsOf - seen > vessel.Specification.LongestSilence ? JobCause.NoWindowTooLong : null;
        }
    }

    /// <summary>
    /// The job written anew: when its prognosis has moved by more than the plant's set amount, its priority has risen, nearly all gas
    /// has gone, or its queue has said something of it. Who has a job in hand is told again of a higher priority and of that only.
    /// </summary>
    private static StandingJob? Renewed(
        Vessel vessel, StandingJob standing, JobAnswers answers, JobCause? cause, Assessment now, List<JobNotice> notices)
    {
        bool current = standing.Job.Cause == cause;
        bool risen = current && VesselRisk.Of(vessel.Specification, standing.Job.Cause, now).Priority > standing.Job.Priority;
        bool graver = risen || (current && HasEmptied(vessel, standing.Job, standing.Job.Cause, now));
        bool inHand = answers.Taken is not null || answers.ReportedDone is not null;
        DateTimeOffset? earliest = now.Forecast?.Earliest;
        bool moved = current && !inHand && standing.Job.Cause == JobCause.FallingFasterThanAllowed
            && Moved(standing.Earliest, earliest, vessel.Calendar.PrognosisShift);
        bool said = answers.Taken != standing.Job.Taken || answers.ReportedDone != standing.Job.ReportedDone;
        if (!graver && !moved && !said)
        {
            return null;
        }

        string[] why =
        [
            .. said ? (string[])[Said(answers)] : [],
            .. moved ? (string[])[$"The earliest credible date of the lower limit moved from {DayText.Of(standing.Earliest, "no date")} to {DayText.Of(earliest, "no date")}."] : [],
            .. risen && !moved ? (string[])["The priority has risen."] : [],
            .. graver && !risen ? (string[])["Nearly all gas is gone: the separator is looked at before anything is charged."] : [],
        ];
        Job job = graver || moved ? JobWriter.Renew(vessel, standing.Job, now, graver) : standing.Job with { Revision = standing.Job.Revision + 1 };
        job = job with { Taken = answers.Taken, ReportedDone = answers.ReportedDone };
        notices.Add(new JobNotice(job, JobState.Open, now.AsOf, string.Join(' ', why)));
        return new StandingJob(job, standing.Segment, graver || moved ? earliest : standing.Earliest);
    }

    private static string Said(JobAnswers answers) =>
        answers.ReportedDone is { } done
            ? $"Reported done by {done.Who} on {DayText.Of(done.At)}, and nothing is recorded that ends it: it stands until the vessel shows it or the values are recorded."
        : answers.Taken is { } taken ? $"Taken on by {taken.Who} on {DayText.Of(taken.At)}."
        : "Nobody has it in hand any more.";

    private static bool Moved(DateTimeOffset? told, DateTimeOffset? now, TimeSpan shift) =>
        told is null || now is null ? told != now : (now.Value - told.Value).Duration() > shift;

    private static JobNotice Closed(Job job, Assessment now, JobEnding ending) =>
        new(job with { Revision = job.Revision + 1 }, JobState.Closed, now.AsOf, ending.Why) { End = ending.End };
}
