using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

/// <summary>The job for a transducer that drifts, beside those of the verdict.</summary>
public sealed class DriftJobTests
{
    private static readonly Vessel Vessel = Bench.Vessel();

    [Fact]
    public void It_is_raised_once_with_its_evidence_and_the_cautions()
    {
        (LedgerState state, IReadOnlyList<JobNotice> notices) = Step(LedgerState.Start, Day(10, -4e5));
        Job job = Assert.Single(notices).Job;
        Assert.Equal(JobCause.TransducerDrift, job.Cause);
        Assert.Contains("read 4.0 bar too low", job.Reason, StringComparison.Ordinal);
        Assert.Contains(job.Evidence, line => line.StartsWith("Transducer minus hand -4.0 bar", StringComparison.Ordinal));
        Assert.Contains(job.Evidence, line => line.Contains("at most 1 %", StringComparison.Ordinal));
        Assert.Equal(SafetyLines.All, job.Cautions);
        Assert.NotEmpty(job.Steps);
        Assert.Null(job.NitrogenKg);
        Assert.Empty(Step(state, Day(11, -4.1e5)).Notices);
    }

    [Fact]
    public void It_stands_beside_a_leak_and_a_charge_does_not_end_it()
    {
        (LedgerState state, IReadOnlyList<JobNotice> notices) = Step(LedgerState.Start, Day(10, -4e5, Verdict.BelowLowerLimit));
        Assert.Equal([JobCause.BelowLowerLimit, JobCause.TransducerDrift], notices.Select(notice => notice.Job.Cause));
        (state, notices) = Step(state, Day(20, -4e5), Bench.Vessel(chargeDays: [15]));
        Assert.Equal(JobCause.BelowLowerLimit, Assert.Single(notices).Job.Cause);
        Assert.NotNull(state.Of(JobCause.TransducerDrift));
    }

    [Fact]
    public void A_change_of_the_transducer_on_record_ends_it()
    {
        (LedgerState state, _) = Step(LedgerState.Start, Day(10, -4e5));
        (state, IReadOnlyList<JobNotice> notices) = Step(
            state, Day(20, -4e5) with { Drift = null }, Vessel with { TransducerChanges = [Bench.Start.AddDays(15)] });
        JobNotice closed = Assert.Single(notices);
        Assert.Equal(JobEnd.CauseEnded, closed.End);
        Assert.Contains("replaced, moved or calibrated", closed.Why, StringComparison.Ordinal);
        Assert.False(state.HasStanding);
    }

    [Fact]
    public void A_later_check_that_agrees_ends_it_and_one_that_does_not_keeps_it()
    {
        (LedgerState state, _) = Step(LedgerState.Start, Day(10, -4e5));
        (state, IReadOnlyList<JobNotice> notices) = Step(state, Day(30, -5e5));
        Assert.Empty(notices);
        (state, notices) = Step(state, Day(40, 0.4e5));
        Assert.Equal(JobEnd.Checked, Assert.Single(notices).End);
        Assert.False(state.HasStanding);
        Assert.Empty(Step(state, Day(41, 0.4e5)).Notices);
    }

    [Fact]
    public void A_declined_one_is_not_raised_again_before_its_time()
    {
        (LedgerState state, _) = Step(LedgerState.Start, Day(10, -4e5));
        LedgerState declined = LedgerState.Start with { Declined = [new DeclinedJob(state.Standing[0], Bench.Start.AddDays(40))] };
        (LedgerState kept, IReadOnlyList<JobNotice> notices) = Step(declined, Day(20, -4e5));
        Assert.Empty(notices);
        (_, notices) = Step(kept, Day(41, -4e5));
        Assert.Equal(JobCause.TransducerDrift, Assert.Single(notices).Job.Cause);
    }

    [Fact]
    public void Checks_that_are_void_withdraw_it()
    {
        (LedgerState state, _) = Step(LedgerState.Start, Day(10, -4e5));
        Assessment without = Day(11, -4e5);
        (_, IReadOnlyList<JobNotice> notices) = Step(state, without with { Drift = without.Drift! with { Proven = null, Last = Bench.Start.AddDays(9) } });
        Assert.Equal(JobEnd.Withdrawn, Assert.Single(notices).End);
    }

    /// <summary>The check that raised it was made after the loss, beside windows from before: those since agree with it.</summary>
    [Theory]
    [InlineData(10, JobEnd.Withdrawn)]
    [InlineData(11, null)]
    public void A_check_that_turns_out_to_lie_behind_a_sudden_loss_withdraws_it(double lastDay, JobEnd? end)
    {
        (LedgerState state, _) = Step(LedgerState.Start, Day(10, 30e5));
        Assessment after = Bench.Day(12, Verdict.FallingFasterThanAllowed, segment: 1, cause: SegmentCause.SuddenLoss);

        // A later check that disagrees, not enough for a proof of its own, leaves the job as it is.
        (state, IReadOnlyList<JobNotice> notices) = Step(state, after with
        {
            Drift = new TransducerDrift(1, 0.01, 0.1, Bench.Start.AddDays(lastDay), end is null ? 2e5 : 0.2e5, 0.5e5, null, 0.1, -Math.Log(0.01)),
        });
        Assert.Equal(end is { } how ? [how] : [], notices.Where(notice => notice.Job.Cause == JobCause.TransducerDrift).Select(notice => notice.End!.Value));
        Assert.Equal(end is null, state.Of(JobCause.TransducerDrift) is not null);
    }

    private static (LedgerState State, IReadOnlyList<JobNotice> Notices) Step(LedgerState state, Assessment assessment, Vessel? vessel = null)
    {
        (state, IReadOnlyList<JobNotice> one) = JobLedger.Advance(vessel ?? Vessel, state, assessment);
        (state, IReadOnlyList<JobNotice> other) = DriftJob.Advance(vessel ?? Vessel, state, assessment);
        return (state, [.. one, .. other]);
    }

    private static Assessment Day(double day, double errorPa, Verdict verdict = Verdict.WithinLimits) => Bench.Day(day, verdict) with
    {
        Drift = new TransducerDrift(3, -0.04, 0.005, Bench.Start.AddDays(day), errorPa, 0.5e5, Bench.Start.AddDays(8), 6, -Math.Log(0.01)),
    };
}
