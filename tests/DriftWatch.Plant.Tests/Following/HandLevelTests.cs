using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>A vessel within its limits up to day 18, silent from then on, and what checks by hand find later. The Bench's limits are 90 and 108 bar.</summary>
public class HandLevelTests
{
    [Fact]
    public void A_check_of_a_silent_vessel_that_finds_it_below_its_limit_raises_the_job()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(30, 80)]);
        VesselFollower follower = Followed(vessel);
        Assert.Equal(Verdict.WithinLimits, follower.Assess(Bench.Start.AddDays(29)).Verdict);
        follower.AdvanceTo(Bench.Start.AddDays(31));

        Assessment now = follower.Assess(Bench.Start.AddDays(31));
        Assert.Equal((Verdict.BelowLowerLimit, vessel.RecordedChecks[0].At), (now.Verdict, now.FoundByHand));
        Assert.Equal(81, now.PrechargePa!.Value / 1e5, 1e-6);
        Assert.Matches("^Precharge 80.0 .* below the lower limit of 90.0 bar. It was found by hand on 2026-03-04.", now.Reason);
        JobNotice raised = Assert.Single(follower.TakeNotices());
        Assert.Equal((JobCause.BelowLowerLimit, JobState.Open, vessel.RecordedChecks[0].At), (raised.Job.Cause, raised.State, raised.At));
        Assert.Contains("found by hand 2026-03-04 06:00 UTC", raised.Job.Evidence[0], StringComparison.Ordinal);
        Assert.Contains("The last precharge window before it was on 2026-02-19.", raised.Job.Evidence);
        Assert.DoesNotContain(raised.Job.Evidence, line => line.StartsWith("Lower limit reached", StringComparison.Ordinal) || line.StartsWith("Loss", StringComparison.Ordinal));

        // 50 litres from 81 to 101 bar absolute at 20 degrees C; an ideal gas would take 1.15 kg (p V / R T, R = 8.314 J/(mol K) over 0.02801 kg/mol).
        Assert.InRange(raised.Job.NitrogenKg!.Value, 1.0, 1.3);
        Assert.DoesNotContain(follower.TakeAlarmChanges(), change => change.Kind == AlarmKind.BelowLowerLimit);
    }

    [Fact]
    public void Windows_near_the_check_or_since_speak_for_themselves()
    {
        VesselFollower near = Followed(Bench.Vessel(checks: [Bench.Check(22, 80)]));
        near.AdvanceTo(Bench.Start.AddDays(23));
        Assert.Null(near.Assess(Bench.Start.AddDays(23)).FoundByHand);
        Assert.DoesNotContain(near.TakeNotices(), notice => notice.Job.Cause == JobCause.BelowLowerLimit);

        VesselFollower since = Followed(Bench.Vessel(checks: [Bench.Check(30, 80)]));
        foreach (Reading reading in Machine.Days(32, 4, _ => 100))
        {
            since.Accept(reading);
        }

        Assessment now = since.Assess(Bench.Start.AddDays(36));
        Assert.Equal((Verdict.WithinLimits, null), (now.Verdict, now.FoundByHand));
        Assert.Equal([JobState.Open, JobState.Closed], since.TakeNotices().Where(notice => notice.Job.Cause == JobCause.BelowLowerLimit).Select(notice => notice.State));
    }

    [Theory]
    [InlineData(89.9)]
    [InlineData(100)]
    [InlineData(108.1)]
    public void A_check_that_does_not_lie_outside_the_limits_by_more_than_its_uncertainty_says_nothing_of_the_kind(double barGauge)
    {
        VesselFollower follower = Followed(Bench.Vessel(checks: [Bench.Check(30, barGauge)]));
        follower.AdvanceTo(Bench.Start.AddDays(31));
        Assert.Null(follower.Assess(Bench.Start.AddDays(31)).FoundByHand);
        Assert.Empty(follower.TakeNotices());
    }

    [Fact]
    public void One_above_the_upper_limit_is_told_too()
    {
        VesselFollower follower = Followed(Bench.Vessel(checks: [Bench.Check(30, 115)]));
        follower.AdvanceTo(Bench.Start.AddDays(31));
        Assert.Equal(Verdict.AboveUpperLimit, follower.Assess(Bench.Start.AddDays(31)).Verdict);
        Assert.Equal(JobCause.AboveUpperLimit, Assert.Single(follower.TakeNotices()).Job.Cause);
    }

    [Fact]
    public void A_charge_at_the_visit_or_later_answers_it()
    {
        VesselFollower atOnce = Followed(Bench.Vessel(chargeDays: [30], checks: [Bench.Check(30, 80)]));
        atOnce.AdvanceTo(Bench.Start.AddDays(31));
        Assert.DoesNotContain(atOnce.TakeNotices(), notice => notice.Job.Cause == JobCause.BelowLowerLimit);

        VesselFollower later = Followed(Bench.Vessel(chargeDays: [33], checks: [Bench.Check(30, 80)]));
        later.AdvanceTo(Bench.Start.AddDays(34));
        Assert.Equal([null, JobEnd.Charged], later.TakeNotices().Where(notice => notice.Job.Cause == JobCause.BelowLowerLimit).Select(notice => notice.End));
        Assert.Null(later.Assess(Bench.Start.AddDays(34)).FoundByHand);
    }

    /// <summary>What was charged before is not what was found after it, and windows from before the charge say nothing of it.</summary>
    [Theory]
    [InlineData(20, 30)]
    [InlineData(19, 22)]
    public void A_charge_before_it_hides_nothing_and_is_not_its_end(double chargeDay, double checkDay)
    {
        VesselFollower follower = Followed(Bench.Vessel(chargeDays: [chargeDay], checks: [Bench.Check(checkDay, 80)]));
        foreach (Reading reading in Machine.Days(32, 5, _ => 80))
        {
            follower.Accept(reading);
        }

        JobNotice raised = Assert.Single(follower.TakeNotices());
        Assert.Equal((JobState.Open, JobCause.BelowLowerLimit, Bench.Start.AddDays(checkDay)), (raised.State, raised.Job.Cause, raised.At));
        Assert.Single(follower.State.Ledger.Standing);
    }

    [Fact]
    public void Windows_of_a_transducer_that_was_changed_since_do_not_speak()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(22, 80), Bench.Check(32, 115)]) with { TransducerChanges = [Bench.Start.AddDays(19)] };
        VesselFollower follower = Followed(vessel);
        follower.AdvanceTo(Bench.Start.AddDays(23));
        Assert.Equal(Verdict.BelowLowerLimit, follower.Assess(Bench.Start.AddDays(23)).Verdict);

        // The next check finds it above: one job is not to say charge and the other bleed.
        follower.AdvanceTo(Bench.Start.AddDays(33));
        Assert.Equal(JobCause.AboveUpperLimit, Assert.Single(follower.State.Ledger.Standing).Job.Cause);
    }

    /// <summary>The rise was before the check: that only windows later show it does not end the job.</summary>
    [Fact]
    public void A_rise_that_windows_show_later_does_not_end_an_excess()
    {
        var follower = new VesselFollower(Bench.Vessel(checks: [Bench.Check(30, 115)]), FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in Machine.Days(0, 18, _ => 95).Concat(Machine.Days(32, 6, _ => 114)))
        {
            follower.Accept(reading);
        }

        JobNotice raised = Assert.Single(follower.TakeNotices(), notice => notice.Job.Cause == JobCause.AboveUpperLimit);
        Assert.Equal((JobState.Open, Bench.Start.AddDays(30)), (raised.State, raised.At));
    }

    /// <summary>What rose in the windows before is no part of what was found since.</summary>
    [Fact]
    public void A_rise_before_it_is_left_out_of_the_reason()
    {
        var follower = new VesselFollower(Bench.Vessel(checks: [Bench.Check(40, 80)]), FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in Machine.Days(0, 24, day => day < 15 ? 95 : 103))
        {
            follower.Accept(reading);
        }

        DateTimeOffset before = Bench.Start.AddDays(30);
        Assert.Contains("It rose at once", follower.Assess(before).Reason, StringComparison.Ordinal);
        Assert.DoesNotContain("It rose", follower.Assess(Bench.Start.AddDays(41)).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Another_check_inside_the_limits_ends_it_and_one_in_doubt_does_not()
    {
        VesselFollower doubt = Followed(Bench.Vessel(checks: [Bench.Check(30, 80), Bench.Check(31, 90.1)]));
        doubt.AdvanceTo(Bench.Start.AddDays(32));
        Assert.Equal(Bench.Start.AddDays(30), doubt.Assess(Bench.Start.AddDays(32)).FoundByHand);
        Assert.Equal(JobState.Open, Assert.Single(doubt.TakeNotices()).State);

        // What is in doubt about the upper limit is not below the lower one.
        VesselFollower other = Followed(Bench.Vessel(checks: [Bench.Check(30, 80), Bench.Check(31, 108.1)]));
        other.AdvanceTo(Bench.Start.AddDays(32));
        Assert.Null(other.Assess(Bench.Start.AddDays(32)).FoundByHand);

        VesselFollower inside = Followed(Bench.Vessel(checks: [Bench.Check(30, 80), Bench.Check(31, 98)]));
        inside.AdvanceTo(Bench.Start.AddDays(32));
        Assert.Null(inside.Assess(Bench.Start.AddDays(32)).FoundByHand);
        Assert.Equal([null, JobEnd.Checked], inside.TakeNotices().Select(notice => notice.End));
    }

    /// <summary>The level that was found stands when nothing is seen for too long: somebody is to go there all the same.</summary>
    [Fact]
    public void Silence_does_not_hide_it()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(30, 80)]);
        VesselFollower follower = Followed(vessel);
        DateTimeOffset longAfter = Bench.Start.AddDays(31) + (2 * vessel.Specification.LongestSilence);
        follower.AdvanceTo(longAfter);
        Assert.Equal(Verdict.BelowLowerLimit, follower.Assess(longAfter).Verdict);
        Assert.Contains(follower.State.Ledger.Standing, standing => standing.Job.Cause == JobCause.BelowLowerLimit);
    }

    /// <summary>A register may hold the checks of years, from before the vessel had transducers.</summary>
    [Fact]
    public void A_check_from_long_before_the_first_reading_says_nothing_of_today()
    {
        Assert.Null(AtFirstReading(-40).Assess(Bench.Start.AddHours(1)).FoundByHand);
        Assert.Equal(Bench.Start.AddDays(-20), AtFirstReading(-20).Assess(Bench.Start.AddHours(1)).FoundByHand);
    }

    /// <summary>While no transducer was ever heard, what a check found is all that is known, however long ago.</summary>
    [Fact]
    public void A_vessel_that_was_never_heard_has_its_job_until_a_charge_or_a_check_answers_it()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(30, 80)]);
        VesselFollower never = Unheard(vessel);
        never.AdvanceTo(Bench.Start.AddDays(300));
        Assert.Equal((Verdict.BelowLowerLimit, vessel.RecordedChecks[0].At), (never.Assess(Bench.Start.AddDays(300)).Verdict, never.Assess(Bench.Start.AddDays(300)).FoundByHand));
        JobNotice raised = Assert.Single(never.TakeNotices());
        Assert.Equal((JobCause.BelowLowerLimit, JobState.Open, vessel.RecordedChecks[0].At), (raised.Job.Cause, raised.State, raised.At));
        Assert.Empty(never.TakeAlarmChanges());

        VesselFollower charged = Unheard(Bench.Vessel(checks: [Bench.Check(30, 80)], chargeDays: [40]));
        charged.AdvanceTo(Bench.Start.AddDays(300));
        Assert.Null(charged.Assess(Bench.Start.AddDays(300)).FoundByHand);
        Assert.Equal([null, JobEnd.Charged], charged.TakeNotices().Select(notice => notice.End));

        VesselFollower inside = Unheard(Bench.Vessel(checks: [Bench.Check(30, 80), Bench.Check(40, 98)]));
        inside.AdvanceTo(Bench.Start.AddDays(300));
        Assert.Null(inside.Assess(Bench.Start.AddDays(300)).FoundByHand);
        Assert.Equal([null, JobEnd.Checked], inside.TakeNotices().Select(notice => notice.End));
    }

    [Fact]
    public void A_vessel_that_was_never_heard_and_never_checked_says_nothing()
    {
        VesselFollower never = Unheard(Bench.Vessel());
        never.AdvanceTo(Bench.Start.AddDays(300));
        Assert.Equal(Verdict.NotKnownYet, never.Assess(Bench.Start.AddDays(300)).Verdict);
        Assert.Empty(never.TakeNotices());
    }

    [Theory]
    [InlineData(-40, 0)]
    [InlineData(-20, 1)]
    public void With_the_first_reading_only_what_was_found_shortly_before_it_has_a_job(double checkDay, int jobs)
    {
        VesselFollower follower = AtFirstReading(checkDay);
        Assert.Equal(jobs, follower.State.Ledger.Standing.Count);
        Assert.All(follower.TakeNotices(), notice => Assert.Equal(Bench.Start.AddDays(checkDay), notice.At));
    }

    private static VesselFollower Unheard(Vessel vessel) => new(vessel, FollowerState.Start, [], AlarmHandling.Usual);

    private static VesselFollower Followed(Vessel vessel)
    {
        VesselFollower follower = Unheard(vessel);
        foreach (Reading reading in Machine.Days(0, 18, _ => 100))
        {
            follower.Accept(reading);
        }

        return follower;
    }

    /// <summary>Just heard for the first time, and found low by hand on a day before.</summary>
    private static VesselFollower AtFirstReading(double checkDay)
    {
        VesselFollower follower = Unheard(Bench.Vessel(checks: [Bench.Check(checkDay, 80)]));
        foreach (Reading reading in Machine.Days(0, 1, _ => 100).Take(4))
        {
            follower.Accept(reading);
        }

        return follower;
    }
}
