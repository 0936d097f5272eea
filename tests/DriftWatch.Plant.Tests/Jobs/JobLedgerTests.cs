using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

public class JobLedgerTests
{
    private Vessel _vessel = Example.Vessel();
    private LedgerState _state = LedgerState.Start;

    [Fact]
    public void One_job_stands_however_often_the_verdict_is_repeated()
    {
        JobNotice notice = Assert.Single(Take(Example.At(0, Verdict.FallingFasterThanAllowed)));
        Assert.Equal(JobState.Open, notice.State);
        for (int day = 1; day < 50; day++)
        {
            Assert.Empty(Take(Example.At(day, Verdict.FallingFasterThanAllowed)));
        }
    }

    [Theory]
    [InlineData(Verdict.WithinLimits)]
    [InlineData(Verdict.NotKnownYet)]
    public void A_verdict_that_asks_for_nothing_raises_nothing(Verdict verdict) => Assert.Empty(Take(Example.At(0, verdict)));

    [Fact]
    public void A_recorded_charge_closes_the_job_before_the_new_level_is_known()
    {
        Take(Example.At(0, Verdict.BelowLowerLimit, 85));
        _vessel = _vessel with { RecordedCharges = [new PrechargeCheck(Example.Day0.AddDays(3))] };
        JobNotice closed = Assert.Single(Take(Example.At(3, Verdict.NotKnownYet, segment: -1)));
        Assert.Equal(JobState.Closed, closed.State);
        Assert.Contains("charged", closed.Why, StringComparison.Ordinal);
        Assert.Empty(_state.Standing);
    }

    [Theory]
    [InlineData(SegmentCause.RecordedCharge)]
    [InlineData(SegmentCause.UnrecordedCharge)]
    public void A_segment_that_begins_with_a_charge_closes_the_job(SegmentCause cause)
    {
        Take(Example.At(0, Verdict.FallingFasterThanAllowed));
        Assert.Equal(JobState.Closed, Assert.Single(Take(Example.At(9, Verdict.NotKnownYet, 100, 1, cause))).State);
    }

    /// <summary>The windows that it rests on are those of another transducer; none has come of the new one.</summary>
    [Fact]
    public void A_change_of_the_transducer_on_record_neither_closes_nor_withdraws_it()
    {
        Take(Example.At(0, Verdict.FallingFasterThanAllowed));
        _vessel = _vessel with { TransducerChanges = [Example.Day0.AddDays(3)] };
        Assert.Empty(Take(Example.At(3, Verdict.NotKnownYet, segment: -1)));
        Assert.Empty(Take(Example.At(9, Verdict.NotKnownYet, 96, 1, SegmentCause.RecordedTransducerChange)));
        Assert.Single(_state.Standing);
        Assert.Equal(JobEnd.CauseEnded, Assert.Single(Take(Example.At(60, Verdict.WithinLimits, 96, 1, SegmentCause.RecordedTransducerChange))).End);
    }

    [Fact]
    public void A_sudden_loss_does_not_close_it()
    {
        Take(Example.At(0, Verdict.FallingFasterThanAllowed));
        Assert.Empty(Take(Example.At(9, Verdict.FallingFasterThanAllowed, 92, 1, SegmentCause.SuddenLoss)));
        Assert.Single(_state.Standing);
    }

    [Fact]
    public void A_job_of_graver_cause_takes_the_place_of_a_lesser_one_and_never_the_other_way()
    {
        Take(Example.At(0, Verdict.FallingFasterThanAllowed));
        IReadOnlyList<JobNotice> notices = Take(Example.At(20, Verdict.BelowLowerLimit, 89));
        Assert.Equal([JobState.Closed, JobState.Open], notices.Select(notice => notice.State));
        Assert.Equal([JobCause.FallingFasterThanAllowed, JobCause.BelowLowerLimit], notices.Select(notice => notice.Job.Cause));
        Assert.Empty(Take(Example.At(22, Verdict.FallingFasterThanAllowed, 89)));
        Assert.Equal(JobCause.BelowLowerLimit, Assert.Single(_state.Standing).Job.Cause);
    }

    [Fact]
    public void A_job_for_silence_ends_with_the_first_window()
    {
        Take(Example.At(0, Verdict.NoWindowTooLong) with { LastWindow = Example.Day0.AddDays(-31) });
        Assert.Empty(Take(Example.At(1, Verdict.NoWindowTooLong) with { LastWindow = Example.Day0.AddDays(-31) }));
        Assert.Equal(JobState.Closed, Assert.Single(Take(Example.At(2, Verdict.WithinLimits))).State);
    }

    [Theory]
    [InlineData(Verdict.FallingFasterThanAllowed, Verdict.WithinLimits)]
    [InlineData(Verdict.BelowLowerLimit, Verdict.WithinLimits)]
    [InlineData(Verdict.AboveUpperLimit, Verdict.WithinLimits)]
    public void A_job_ends_when_its_cause_does(Verdict raised, Verdict after)
    {
        Take(Example.At(0, raised));
        Assert.Empty(Take(Example.At(1, Verdict.NotKnownYet)));
        Assert.Equal(JobState.Closed, Assert.Single(Take(Example.At(2, after))).State);
    }

    [Fact]
    public void The_key_names_vessel_cause_and_moment_and_is_the_same_at_every_replay()
    {
        JobNotice first = Take(Example.At(0, Verdict.BelowLowerLimit, 85))[0];
        _state = LedgerState.Start;
        JobNotice again = Take(Example.At(0, Verdict.BelowLowerLimit, 85))[0];
        Assert.Equal("T1/BelowLowerLimit/20260202T060000Z", first.Job.Key);
        Assert.Equal("T1/BelowLowerLimit/20260202T060000Z/open/1", again.Key);
    }

    /// <summary>Raised at 89 bar and not renewed since; 84 are left.</summary>
    [Fact]
    public void Whoever_works_from_a_job_has_the_figures_of_now()
    {
        Job told = Assert.Single(Take(Example.At(0, Verdict.BelowLowerLimit, 89))).Job;
        Assessment now = Example.At(40, Verdict.BelowLowerLimit, 84);
        Assert.Empty(Take(now));
        Job shown = JobLedger.AsOfNow(_vessel, told, now);

        // What lacks is 16 bar in place of 11, and a gas near 100 bar and 20 degrees C is within 2 % of ideal over that stretch.
        Assert.Equal(16.0 / 11, shown.NitrogenKg!.Value / told.NitrogenKg!.Value, 0.03);
        Assert.Equal(16.0 / 11, shown.NitrogenStandardLitres!.Value / told.NitrogenStandardLitres!.Value, 0.03);
        Assert.StartsWith("Precharge 84.0 bar gauge", shown.Evidence[0], StringComparison.Ordinal);
        Assert.Equal("Reason of day 40.", shown.Reason);
        Assert.Equal((told.Key, told.Revision, told.Raised, told.Due, told.Priority), (shown.Key, shown.Revision, shown.Raised, shown.Due, shown.Priority));
        Assert.Equal(told.Steps, shown.Steps);
    }

    [Fact]
    public void A_job_that_the_vessel_does_not_ask_for_now_is_shown_as_it_was_told()
    {
        Job told = Assert.Single(Take(Example.At(0, Verdict.BelowLowerLimit, 89))).Job;
        Assert.Same(told, JobLedger.AsOfNow(_vessel, told, Example.At(1, Verdict.NotKnownYet, 84)));
        Assert.Same(told, JobLedger.AsOfNow(_vessel, told, null));
    }

    [Fact]
    public void The_evidence_of_a_vessel_with_nothing_left_has_no_minus_before_its_zero() =>
        Assert.StartsWith("Precharge 0.0 bar gauge", Take(Example.At(0, Verdict.BelowLowerLimit, -0.02))[0].Job.Evidence[0], StringComparison.Ordinal);

    private IReadOnlyList<JobNotice> Take(Assessment assessment)
    {
        (_state, IReadOnlyList<JobNotice> notices) = JobLedger.Advance(_vessel, _state, assessment);
        return notices;
    }
}
