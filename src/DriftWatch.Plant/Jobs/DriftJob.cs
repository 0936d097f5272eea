using System.Globalization;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// The job for a transducer that drifts. It stands beside the jobs of the verdict, because gas and transducer are two works; like
/// them it depends on the assessments and records alone.
/// </summary>
public static class DriftJob
{
    /// <summary>Raises it where the checks show a drift and none stands or is declined; after <see cref="JobLedger.Advance"/>, which ends it.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="state">The jobs that stand.</param>
    /// <param name="assessment">The newest assessment.</param>
    /// <returns>The jobs that stand now, and what the queue is to be told.</returns>
    public static (LedgerState State, IReadOnlyList<JobNotice> Notices) Advance(Vessel vessel, LedgerState state, Assessment assessment)
    {
        if (assessment.Drift is not { IsDrifting: true } || state.Of(JobCause.TransducerDrift) is not null
            || state.Declined.Any(job => job.Declined.Job.Cause == JobCause.TransducerDrift))
        {
            return (state, []);
        }

        Job job = JobWriter.Write(vessel, JobCause.TransducerDrift, assessment);
        return (
            state with { Standing = [.. state.Standing, new StandingJob(job, assessment.Segment?.Number ?? -1, null)] },
            [new JobNotice(job, JobState.Open, assessment.AsOf, "")]);
    }

    /// <summary>It ends when the transducer is changed on record, when a later check finds it right, or when the checks that it rested on no longer show the drift.</summary>
    internal static JobEnding? Ending(Vessel vessel, StandingJob standing, Assessment now)
    {
        if (VesselRecords.LastTransducerChange(vessel, now.AsOf) is { } change && change > standing.Job.Raised)
        {
            return new JobEnding(JobEnd.CauseEnded, $"The transducer was replaced, moved or calibrated on {DayText.Of(change)} (on record).");
        }

        if (now.Drift is not { Last: { } last } drift)
        {
            return null;
        }

        if (last > standing.Job.Raised && Math.Abs(drift.ErrorPa) <= CoverageFactor.Expanded * drift.ErrorUncertaintyPa)
        {
            return new JobEnding(JobEnd.Checked, $"The check by hand of {DayText.Of(last)} found the transducer right within its uncertainty.");
        }

        // A check between a sudden loss and the windows that prove it was held against those before: it belongs to the next segment.
        bool sameChecks = now.Segment?.Number == standing.Segment || last <= standing.Job.Raised;
        return drift.Proven is null && sameChecks
            ? new JobEnding(JobEnd.Withdrawn, "The checks that it rested on no longer show a drift.")
            : null;
    }

    /// <summary>Why, in one sentence.</summary>
    internal static string Reason(TransducerDrift drift) => string.Create(
        CultureInfo.InvariantCulture,
        $"Checks by hand show that the pressure transducer drifts: on {DayText.Of(drift.Last, "no date")} it read {Math.Abs(drift.ErrorPa) / 1e5:0.0} bar too {(drift.ErrorPa > 0 ? "high" : "low")} at the reference temperature.");

    /// <summary>What it rests on, a line each.</summary>
    internal static IReadOnlyList<string> Evidence(TransducerDrift drift)
    {
        double rate = drift.RatePaPerSecond * LossRate.SecondsPerMonth / 1e5;
        double half = CoverageFactor.Normal95 * drift.RateUncertaintyPaPerSecond * LossRate.SecondsPerMonth / 1e5;
        return
        [
            string.Create(CultureInfo.InvariantCulture,
                $"Transducer minus hand {drift.ErrorPa / 1e5:0.0} bar on {DayText.Of(drift.Last, "no date")}; calibration and scatter explain {CoverageFactor.Expanded * drift.ErrorUncertaintyPa / 1e5:0.0} bar (k = 2)."),
            string.Create(CultureInfo.InvariantCulture,
                $"Drift {rate:0.00} +- {half:0.00} bar/month (95 %) by {drift.Count} check{(drift.Count == 1 ? "" : "s")}; proven on {DayText.Of(drift.Proven, "no date")}. A leak would move transducer and hand alike."),
            string.Create(CultureInfo.InvariantCulture,
                $"The probability of ever calling a transducer that holds is at most {100 * Math.Exp(-drift.Bound):0.##} %."),
        ];
    }
}
