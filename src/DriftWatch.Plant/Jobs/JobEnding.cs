using System.Globalization;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Jobs;

/// <summary>That a job has come to its end: how, and why in one sentence.</summary>
/// <param name="End">How.</param>
/// <param name="Why">Why.</param>
internal readonly record struct JobEnding(JobEnd End, string Why)
{
    /// <summary>The end of a job by an assessment and the records of its vessel; null while it stands.</summary>
    public static JobEnding? Of(Vessel vessel, StandingJob standing, Assessment now)
    {
        Job job = standing.Job;
        if (job.Cause == JobCause.TransducerDrift)
        {
            // A charge does not mend a transducer.
            return DriftJob.Ending(vessel, standing, now);
        }

        if (VesselRecords.LastCharge(vessel, now.AsOf)?.At is { } charge && charge > job.Raised)
        {
            return new JobEnding(JobEnd.Charged, $"The vessel was charged or bled on {DayText.Of(charge)} (on record).");
        }

        if (VesselRecords.LastCheck(vessel, now.AsOf) is { } check && check.At > job.Raised && ByCheck(vessel, job, now, check) is { } byCheck)
        {
            return byCheck;
        }

        if (job.Cause == JobCause.NoWindowTooLong)
        {
            return now.LastWindow > job.Raised ? new JobEnding(JobEnd.CauseEnded, $"A precharge window came on {DayText.Of(now.LastWindow.Value)}.") : null;
        }

        if (now is { Segment: null, FoundByHand: null })
        {
            // Other windows than those it rested on: after a change of the transducer none are there yet.
            return standing.Segment >= 0 && !(VesselRecords.LastTransducerChange(vessel, now.AsOf) > job.Raised)
                ? new JobEnding(JobEnd.Withdrawn, "The windows that it rested on are no longer held to show the precharge.")
                : null;
        }

        if (now.Segment is { } segment && IsChargedSince(standing, segment))
        {
            return new JobEnding(JobEnd.Charged, $"The vessel was charged or bled on {DayText.Of(segment.Start)}.");
        }

        return job.Cause switch
        {
            JobCause.BelowLowerLimit when now.Verdict is Verdict.WithinLimits or Verdict.AboveUpperLimit =>
                new JobEnding(JobEnd.CauseEnded, "The precharge is back above its lower limit."),
            JobCause.AboveUpperLimit when now.Verdict is Verdict.WithinLimits or Verdict.BelowLowerLimit or Verdict.FallingFasterThanAllowed =>
                new JobEnding(JobEnd.CauseEnded, "The precharge is back below its upper limit."),
            JobCause.FallingFasterThanAllowed when now.Verdict == Verdict.WithinLimits =>
                new JobEnding(JobEnd.CauseEnded, "The loss is no longer above the allowed rate."),
            _ => null,
        };
    }

    /// <summary>
    /// Whether a segment begins with a charge that the job has not seen yet. One that a check by hand raised may rest on no segment: a charge before
    /// it is not its end. Without a record only a rise shows, which ends no excess.
    /// </summary>
    private static bool IsChargedSince(StandingJob standing, TrendSegment segment) =>
        segment.Number > standing.Segment
        && (standing.Segment >= 0 || segment.Start > standing.Job.Raised)
        && (segment.Cause == SegmentCause.RecordedCharge || (segment.Cause == SegmentCause.UnrecordedCharge && standing.Job.Cause != JobCause.AboveUpperLimit));

    /// <summary>The precharge that the check at an instant found, where it lies inside the limits by more than its uncertainty; else null.</summary>
    public static GaugePressure? InsideLimits(Vessel vessel, DateTimeOffset asOf, DateTimeOffset at)
    {
        return VesselRecords.LastCheck(vessel, asOf) is { Pressure: { } pressure, Temperature: { } temperature } check && check.At == at
            && CheckFinding.Of(vessel.Specification, pressure, temperature, HandInstruments.Common) is { Meaning: CheckMeaning.WithinLimits } finding
                ? finding.Precharge
                : null;
    }

    /// <summary>Silence is answered by any check, a level outside its limits by one that found it inside without doubt; a leak by none.</summary>
    private static JobEnding? ByCheck(Vessel vessel, Job job, Assessment now, PrechargeCheck check) => job.Cause switch
    {
        JobCause.NoWindowTooLong => new JobEnding(JobEnd.Checked, $"The precharge was checked by hand on {DayText.Of(check.At)}."),
        JobCause.BelowLowerLimit or JobCause.AboveUpperLimit when InsideLimits(vessel, now.AsOf, check.At) is { } found =>
            new JobEnding(JobEnd.Checked, string.Create(
                CultureInfo.InvariantCulture,
                $"A check by hand on {DayText.Of(check.At)} found {found.Bar:0.0} bar gauge at {vessel.Specification.ReferenceTemperature.DegreesCelsius:0} degrees C, inside the limits.")),
        _ => null,
    };
}
