using CsCheck;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

public class JobLifeTests
{
    private Vessel _vessel = Bench.Vessel();
    private LedgerState _state = LedgerState.Start;

    [Fact]
    public void A_job_is_renewed_when_its_prognosis_moves_by_more_than_the_set_amount_only()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.FallingFasterThanAllowed, earliestDay: 60))).Job;
        Assert.Equal((1, Bench.Start.AddDays(60)), (raised.Revision, raised.Due));
        Assert.Empty(Take(Bench.Day(1, Verdict.FallingFasterThanAllowed, earliestDay: 67)));
        Assert.Empty(Take(Bench.Day(2, Verdict.FallingFasterThanAllowed, earliestDay: 53)));
        JobNotice renewed = Assert.Single(Take(Bench.Day(3, Verdict.FallingFasterThanAllowed, earliestDay: 52.9)));
        Assert.Equal((JobState.Open, raised.Key, 2, raised.Raised), (renewed.State, renewed.Job.Key, renewed.Job.Revision, renewed.Job.Raised));
        Assert.Equal(Bench.Start.AddDays(52.9), renewed.Job.Due);
        Assert.Contains("moved from 2026-04-03 to 2026-03-27", renewed.Why, StringComparison.Ordinal);

        // Measured against what was told last, not against the first.
        Assert.Empty(Take(Bench.Day(4, Verdict.FallingFasterThanAllowed, earliestDay: 59)));
        JobNotice closed = Assert.Single(Take(Bench.Day(9, Verdict.WithinLimits)));
        Assert.Equal((JobState.Closed, 3, JobEnd.CauseEnded), (closed.State, closed.Job.Revision, closed.End!.Value));
    }

    [Fact]
    public void A_rising_priority_renews_it_and_never_moves_the_date_back()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.BelowLowerLimit, 85))).Job;
        Assert.Equal((Priority.Medium, Bench.Start.AddDays(7)), (raised.Priority, raised.Due));
        Assert.Empty(Take(Bench.Day(1, Verdict.BelowLowerLimit, 84)));
        JobNotice graver = Assert.Single(Take(Bench.Day(6, Verdict.BelowLowerLimit, 3)));
        Assert.Equal((Priority.High, Bench.Start.AddDays(7)), (graver.Job.Priority, graver.Job.Due));
        Assert.Contains(graver.Job.Steps, step => step.Contains("Do not charge yet", StringComparison.Ordinal));
    }

    /// <summary>60 bar cost more than a quarter of the usable volume: the priority is the highest already.</summary>
    [Fact]
    public void A_job_of_the_highest_priority_is_renewed_when_nearly_all_gas_has_gone()
    {
        Job raised = Assert.Single(Take(Bench.Day(0, Verdict.BelowLowerLimit, 60))).Job;
        Assert.Equal(Priority.High, raised.Priority);
        Assert.Empty(Take(Bench.Day(1, Verdict.BelowLowerLimit, 30)));
        JobNotice gone = Assert.Single(Take(Bench.Day(2, Verdict.BelowLowerLimit, 12)));
        Assert.Equal((2, Bench.Start.AddDays(4)), (gone.Job.Revision, gone.Job.Due));
        Assert.Contains(gone.Job.Steps, step => step.Contains("Do not charge yet", StringComparison.Ordinal));
        Assert.StartsWith("Nearly all gas is gone", gone.Why, StringComparison.Ordinal);
        Assert.Empty(Take(Bench.Day(3, Verdict.BelowLowerLimit, 11)));
    }

    [Fact]
    public void The_graver_job_takes_in_the_work_of_the_lesser_one()
    {
        Take(Bench.Day(0, Verdict.FallingFasterThanAllowed));
        IReadOnlyList<JobNotice> notices = Take(Bench.Day(20, Verdict.BelowLowerLimit, 89));
        Assert.Equal(
            [(JobCause.FallingFasterThanAllowed, JobState.Closed, (JobEnd?)JobEnd.Superseded), (JobCause.BelowLowerLimit, JobState.Open, null)],
            notices.Select(notice => (notice.Job.Cause, notice.State, notice.End)));
        Assert.Empty(Take(Bench.Day(22, Verdict.FallingFasterThanAllowed, 91)));
    }

    [Fact]
    public void Another_cause_has_a_job_of_its_own()
    {
        Take(Bench.Day(0, Verdict.FallingFasterThanAllowed));
        JobNotice silence = Assert.Single(Take(Bench.Day(31, Verdict.NoWindowTooLong, windowDay: 0)));
        Assert.Equal(JobCause.NoWindowTooLong, silence.Job.Cause);
        Assert.Equal(2, _state.Standing.Count);
        Assert.Equal(JobCause.NoWindowTooLong, Assert.Single(Take(Bench.Day(32, Verdict.FallingFasterThanAllowed))).Job.Cause);
        Assert.Equal(JobCause.FallingFasterThanAllowed, Assert.Single(_state.Standing).Job.Cause);
    }

    [Fact]
    public void A_recorded_charge_closes_all_and_old_windows_raise_nothing_after_it()
    {
        _vessel = Bench.Vessel(chargeDays: [5]);
        Take(Bench.Day(0, Verdict.BelowLowerLimit, 85));
        JobNotice closed = Assert.Single(Take(Bench.Day(5, Verdict.BelowLowerLimit, 85, windowDay: 4)));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Charged), (closed.State, closed.End));
        Assert.Contains("2026-02-07", closed.Why, StringComparison.Ordinal);
        Assert.Empty(Take(Bench.Day(6, Verdict.BelowLowerLimit, 85, windowDay: 4)));

        // Charged, and yet below by a window after it.
        Assert.Equal(JobState.Open, Assert.Single(Take(Bench.Day(7, Verdict.BelowLowerLimit, 85))).State);
    }

    [Theory]
    [InlineData(SegmentCause.RecordedCharge)]
    [InlineData(SegmentCause.UnrecordedCharge)]
    public void A_segment_that_begins_with_a_charge_closes_it(SegmentCause cause)
    {
        Take(Bench.Day(0, Verdict.FallingFasterThanAllowed));
        JobNotice closed = Assert.Single(Take(Bench.Day(9, Verdict.NotKnownYet, 100, 1, cause)));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Charged), (closed.State, closed.End));
    }

    /// <summary>A leak proven after a charge: the charge lies before the job, and silence is no news.</summary>
    [Theory]
    [InlineData(SegmentCause.RecordedCharge, 5.0)]
    [InlineData(SegmentCause.UnrecordedCharge, null)]
    public void Silence_does_not_end_the_job_of_a_leak_in_a_stretch_that_a_charge_began(SegmentCause cause, double? chargeDay)
    {
        _vessel = Bench.Vessel(chargeDays: chargeDay is { } day ? [day] : []);
        Job leak = Assert.Single(Take(Bench.Day(20, Verdict.FallingFasterThanAllowed, segment: 1, cause: cause))).Job;
        Take(Bench.Day(51, Verdict.NoWindowTooLong, segment: 1, cause: cause, windowDay: 20));
        Take(Bench.Day(60, Verdict.NotKnownYet, segment: 1, cause: cause));
        Assert.Contains(_state.Standing, standing => standing.Job.Key == leak.Key);
    }

    /// <summary>95 bar gauge read at 20 degrees C is inside the limits of 90 to 108 bar; the same at 60 degrees C is some 82 bar at 20; 91 bar by hand may be below.</summary>
    [Theory]
    [InlineData(95.0, 20, true)]
    [InlineData(95.0, 60, false)]
    [InlineData(91.0, 20, false)]
    [InlineData(null, 20, false)]
    public void A_recorded_check_that_found_it_inside_the_limits_answers_a_level(double? found, double celsius, bool answers)
    {
        _vessel = Bench.Vessel(checks: [Bench.Check(3, found, celsius)]);
        Take(Bench.Day(0, Verdict.BelowLowerLimit, 85));
        IReadOnlyList<JobNotice> notices = Take(Bench.Day(3, Verdict.BelowLowerLimit, 85, windowDay: 2));
        Assert.Equal(answers ? [JobEnd.Checked] : [], notices.Select(notice => notice.End!.Value));
        Assert.Empty(Take(Bench.Day(4, Verdict.BelowLowerLimit, 85, windowDay: 2)));
    }

    [Fact]
    public void Any_recorded_check_answers_silence_until_it_is_too_old_itself()
    {
        _vessel = Bench.Vessel(checks: [Bench.Check(35)]);
        Take(Bench.Day(31, Verdict.NoWindowTooLong, segment: -1, windowDay: 0));
        Assert.Equal(JobEnd.Checked, Assert.Single(Take(Bench.Day(35, Verdict.NoWindowTooLong, segment: -1, windowDay: 0))).End);
        Assert.Empty(Take(Bench.Day(65, Verdict.NoWindowTooLong, segment: -1, windowDay: 0)));
        Assert.Equal(JobState.Open, Assert.Single(Take(Bench.Day(65.1, Verdict.NoWindowTooLong, segment: -1, windowDay: 0))).State);
    }

    /// <summary>A level stands in the verdict before silence; once a check has answered it, silence is what there is to see to.</summary>
    [Theory]
    [InlineData(Verdict.BelowLowerLimit, VerdictGround.LevelBelow, 85)]
    [InlineData(Verdict.AboveUpperLimit, VerdictGround.LevelAbove, 115)]
    public void A_level_that_a_check_has_answered_does_not_hide_silence(Verdict verdict, VerdictGround ground, double barGauge)
    {
        _vessel = Bench.Vessel(checks: [Bench.Check(3, 98)]);
        Take(On(0));
        Assert.Equal(JobEnd.Checked, Assert.Single(Take(On(3))).End);
        Assert.Empty(Take(On(33)));
        Job silence = Assert.Single(Take(On(33.1))).Job;
        Assert.Equal(JobCause.NoWindowTooLong, silence.Cause);
        Assert.Contains("No trusted precharge window for 33 days", silence.Reason, StringComparison.Ordinal);
        Assert.Empty(Take(On(60)));

        Assessment On(double day) => Bench.Day(day, verdict, barGauge, windowDay: 0) with { Ground = ground, HeardLast = Bench.Start };
    }

    /// <summary>Whatever comes: at most one job stands of a cause, revisions count up by one, and what is closed was open.</summary>
    [Fact]
    public void One_open_job_of_each_cause_at_most() =>
        Gen.Select(Gen.Enum<Verdict>(), Gen.Int[-1, 3], Gen.Enum<SegmentCause>(), Gen.Double[1, 120], Gen.Double[1, 112]).List[1, 60].Sample(days =>
        {
            _vessel = Bench.Vessel(chargeDays: [10.5, 30], checks: [Bench.Check(20, 95), Bench.Check(40)]);
            _state = LedgerState.Start;
            Dictionary<string, JobNotice> told = [];
            for (int i = 0; i < days.Count; i++)
            {
                (Verdict verdict, int segment, SegmentCause cause, double ahead, double barGauge) = days[i];
                foreach (JobNotice notice in Take(Bench.Day(i, verdict, barGauge, segment, cause, earliestDay: i + ahead)))
                {
                    int before = told.TryGetValue(notice.Job.Key, out JobNotice? last) ? last.Job.Revision : 0;
                    Assert.Equal(before + 1, notice.Job.Revision);
                    Assert.True(last?.State != JobState.Closed && (notice.State == JobState.Open || last is not null));
                    Assert.Equal(notice.State == JobState.Closed, notice.End is not null);
                    told[notice.Job.Key] = notice;
                }

                Assert.Equal(
                    told.Values.Where(notice => notice.State == JobState.Open).Select(notice => notice.Job.Key).Order(StringComparer.Ordinal),
                    _state.Standing.Select(standing => standing.Job.Key).Order(StringComparer.Ordinal));
                Assert.Equal(_state.Standing.Count, _state.Standing.Select(standing => standing.Job.Cause).Distinct().Count());
            }
        }, threads: 1);

    private IReadOnlyList<JobNotice> Take(Assessment assessment)
    {
        (_state, IReadOnlyList<JobNotice> notices) = JobLedger.Advance(_vessel, _state, assessment);
        return notices;
    }
}
