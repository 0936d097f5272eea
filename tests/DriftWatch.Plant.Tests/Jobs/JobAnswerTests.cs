using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

/// <summary>What the answers of a queue do to a job.</summary>
public class JobAnswerTests
{
    private Vessel _vessel = Bench.Vessel();
    private LedgerState _state = LedgerState.Start;

    [Fact]
    public void A_job_that_is_taken_says_by_whom_and_is_told_again_of_a_higher_priority_only()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.FallingFasterThanAllowed, earliestDay: 60))).Job;
        Answer(raised, AnswerKind.Taken, 1);
        JobNotice taken = Assert.Single(Take(Bench.Day(1, Verdict.FallingFasterThanAllowed, earliestDay: 60)));
        Assert.Equal((JobState.Open, 2, new JobMark("M. Fitter", Bench.Start.AddDays(1))), (taken.State, taken.Job.Revision, taken.Job.Taken));
        Assert.Contains("Taken on by M. Fitter", taken.Why, StringComparison.Ordinal);

        Assert.Empty(Take(Bench.Day(2, Verdict.FallingFasterThanAllowed, earliestDay: 60)));
        Assert.Empty(Take(Bench.Day(3, Verdict.FallingFasterThanAllowed, earliestDay: 40)));
        JobNotice graver = Assert.Single(Take(Bench.Day(4, Verdict.FallingFasterThanAllowed, earliestDay: 5)));
        Assert.Equal((3, taken.Job.Taken), (graver.Job.Revision, graver.Job.Taken));
        Assert.True(graver.Job.Priority > raised.Priority);
    }

    [Fact]
    public void An_answer_counts_from_its_own_moment_and_not_before()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.BelowLowerLimit, 85))).Job;
        Answer(raised, AnswerKind.Taken, 2);
        Assert.Empty(Take(Bench.Day(1, Verdict.BelowLowerLimit, 85)));
        Assert.Single(Take(Bench.Day(2, Verdict.BelowLowerLimit, 85)));
    }

    [Fact]
    public void Done_without_values_is_told_and_the_job_stands_until_it_is_seen()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.BelowLowerLimit, 85))).Job;
        Answer(raised, AnswerKind.Done, 1);
        JobNotice done = Assert.Single(Take(Bench.Day(1, Verdict.BelowLowerLimit, 85)));
        Assert.Equal((JobState.Open, new JobMark("M. Fitter", Bench.Start.AddDays(1))), (done.State, done.Job.ReportedDone));
        Assert.Contains("nothing is recorded that ends it", done.Why, StringComparison.Ordinal);
        Assert.Empty(Take(Bench.Day(2, Verdict.BelowLowerLimit, 85)));
        JobNotice closed = Assert.Single(Take(Bench.Day(3, Verdict.WithinLimits, 100)));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.CauseEnded), (closed.State, closed.End));
    }

    [Fact]
    public void A_rejected_job_is_closed_as_declined_and_not_raised_again_for_nothing()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.BelowLowerLimit, 85))).Job;
        Answer(raised, AnswerKind.Rejected, 1, "stands still until August");
        JobNotice declined = Assert.Single(Take(Bench.Day(1, Verdict.BelowLowerLimit, 85)));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Declined), (declined.State, declined.End));
        Assert.Equal("Declined by M. Fitter: stands still until August", declined.Why);
        for (int day = 2; day < 31; day++)
        {
            Assert.Empty(Take(Bench.Day(day, Verdict.BelowLowerLimit, 85)));
        }

        Assert.Equal(Bench.Start.AddDays(31), _state.NextDue);
        JobNotice again = Assert.Single(Take(Bench.Day(31, Verdict.BelowLowerLimit, 85)));
        Assert.Equal((JobState.Open, 1), (again.State, again.Job.Revision));
        Assert.NotEqual(raised.Key, again.Job.Key);
        Assert.Empty(_state.Declined);
    }

    [Fact]
    public void The_plant_sets_after_how_long_it_is_raised_again()
    {
        _vessel = Bench.Vessel(PlantCalendar.Default with { RaiseDeclinedAfter = TimeSpan.FromDays(3) });
        Decline(Bench.Day(0, Verdict.BelowLowerLimit, 85), Bench.Day(1, Verdict.BelowLowerLimit, 85));
        Assert.Empty(Take(Bench.Day(3.9, Verdict.BelowLowerLimit, 85)));
        Assert.Single(Take(Bench.Day(4, Verdict.BelowLowerLimit, 85)));
    }

    [Fact]
    public void It_is_raised_again_when_it_gets_graver()
    {
        Decline(Bench.Day(0, Verdict.BelowLowerLimit, 85), Bench.Day(1, Verdict.BelowLowerLimit, 85));
        Assert.Empty(Take(Bench.Day(2, Verdict.BelowLowerLimit, 84)));
        Assert.Single(Take(Bench.Day(3, Verdict.BelowLowerLimit, 3)));
    }

    [Fact]
    public void It_is_raised_again_when_nearly_all_gas_has_gone_though_its_priority_was_the_highest()
    {
        Decline(Bench.Day(0, Verdict.BelowLowerLimit, 60), Bench.Day(1, Verdict.BelowLowerLimit, 60));
        Assert.Empty(Take(Bench.Day(2, Verdict.BelowLowerLimit, 30)));
        Job again = Assert.Single(Take(Bench.Day(3, Verdict.BelowLowerLimit, 12))).Job;
        Assert.Contains(again.Steps, step => step.Contains("Do not charge yet", StringComparison.Ordinal));
    }

    [Fact]
    public void It_is_raised_again_when_its_date_comes_nearer_by_more_than_the_set_amount_and_not_when_it_goes_further_away()
    {
        Decline(Bench.Day(0, Verdict.FallingFasterThanAllowed, earliestDay: 80), Bench.Day(1, Verdict.FallingFasterThanAllowed, earliestDay: 80));
        Assert.Empty(Take(Bench.Day(2, Verdict.FallingFasterThanAllowed, earliestDay: 100)));
        Assert.Empty(Take(Bench.Day(3, Verdict.FallingFasterThanAllowed, earliestDay: 73)));
        Assert.Single(Take(Bench.Day(4, Verdict.FallingFasterThanAllowed, earliestDay: 72.9)));
    }

    [Fact]
    public void A_graver_cause_is_raised_whatever_was_declined_before()
    {
        Decline(Bench.Day(0, Verdict.FallingFasterThanAllowed, earliestDay: 80), Bench.Day(1, Verdict.FallingFasterThanAllowed, earliestDay: 80));
        Assert.Equal(JobCause.BelowLowerLimit, Assert.Single(Take(Bench.Day(2, Verdict.BelowLowerLimit, 85))).Job.Cause);
        Assert.Empty(_state.Declined);
    }

    [Fact]
    public void What_was_declined_is_forgotten_when_its_cause_has_ended()
    {
        Decline(Bench.Day(0, Verdict.BelowLowerLimit, 85), Bench.Day(1, Verdict.BelowLowerLimit, 85));
        Assert.Empty(Take(Bench.Day(2, Verdict.WithinLimits, 95)));
        Assert.Empty(_state.Declined);
        Assert.Single(Take(Bench.Day(3, Verdict.BelowLowerLimit, 85)));
    }

    [Fact]
    public void The_values_of_an_answer_are_work_on_record_under_one_id()
    {
        var answer = new JobAnswer("wo-1", "T1/BelowLowerLimit/20260202T060000Z", AnswerKind.Done, "M. Fitter", Bench.Start.AddDays(1))
        {
            Remark = "two bottles",
            Work = AnswerWork.Charged,
            GasPressureBarGauge = 100,
            GasTemperatureCelsius = 20,
        };
        WorkRecord work = answer.ToWork("signature", Bench.Start.AddDays(2))!;
        Assert.Empty(work.Faults());
        Assert.Equal(("T1", WorkKind.Charge, answer.At, "two bottles", RecordSource.Answer), (work.VesselId, work.Kind, work.At, work.Note, work.Source));
        Assert.Equal(work.Id, answer.ToWork("broker user x", Bench.Start.AddDays(9))!.Id);
        Assert.Null((answer with { Work = null }).ToWork("signature", Bench.Start));
    }

    private void Decline(Assessment raising, Assessment declining)
    {
        Job raised = Assert.Single(Take(raising)).Job;
        Answer(raised, AnswerKind.Rejected, (declining.AsOf - Bench.Start).TotalDays, "no crew");
        Assert.Equal(JobEnd.Declined, Assert.Single(Take(declining)).End);
    }

    private void Answer(Job job, AnswerKind kind, double day, string remark = "") => _vessel = _vessel with
    {
        Answers = [.. _vessel.Answers, new JobAnswer($"wo-{_vessel.Answers.Count}", job.Key, kind, "M. Fitter", Bench.Start.AddDays(day)) { Remark = remark }],
    };

    private IReadOnlyList<JobNotice> Take(Assessment assessment)
    {
        (_state, IReadOnlyList<JobNotice> notices) = JobLedger.Advance(_vessel, _state, assessment);
        return notices;
    }
}
