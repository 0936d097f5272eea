using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tests;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>Checks by hand through the whole chain, on a vessel of the sample plant.</summary>
public sealed class DriftFollowingTests
{
    private const string Id = "PR1-A1";

    /// <summary>The planted vessel; by hand it reads so many bar a month more than the transducer, from the first reading on.</summary>
    [Fact]
    public void A_disagreement_that_grows_becomes_a_job_and_one_that_does_not_becomes_none()
    {
        Assert.DoesNotContain(Run(Checked(0), restart: false), IsDrift);
        JobNotice[] told = [.. Run(Checked(1.5), restart: false).Where(IsDrift)];
        JobNotice raised = told[0];
        Assert.Contains("too low", raised.Job.Reason, StringComparison.Ordinal);
        Assert.Contains(raised.Job.Evidence, line => line.StartsWith("Transducer minus hand -", StringComparison.Ordinal));
        Assert.Single(told);
    }

    /// <summary>The record of a change ends the job; only what is checked after it speaks of the new transducer.</summary>
    [Fact]
    public void A_change_of_the_transducer_ends_the_job_and_drift_counts_from_it()
    {
        Vessel vessel = Checked(1.5);
        DateTimeOffset raised = Run(vessel, restart: false).First(IsDrift).At;
        Vessel changed = vessel with { TransducerChanges = [raised.AddDays(3)] };
        JobNotice[] told = [.. Run(changed, restart: false).Where(IsDrift)];
        Assert.Equal(raised, told[0].At);
        Assert.Equal(JobEnd.CauseEnded, told[1].End);
        Assert.True(told[1].At >= raised.AddDays(3) && told[1].At < raised.AddDays(4));
        Assert.Equal(
            told.Select(notice => (notice.Key, notice.At)),
            Run(changed, restart: true).Where(IsDrift).Select(notice => (notice.Key, notice.At)));
    }

    [Fact]
    public void A_start_in_between_changes_nothing_of_it()
    {
        Vessel vessel = Checked(1.5);
        Assert.Equal(
            Run(vessel, restart: false).Where(IsDrift).Select(notice => (notice.Key, notice.Job.Reason, notice.At)),
            Run(vessel, restart: true).Where(IsDrift).Select(notice => (notice.Key, notice.Job.Reason, notice.At)));
    }

    /// <summary>What was read before a sudden loss, or as found before a charge, says nothing of the windows after it.</summary>
    [Theory]
    [InlineData(null, 100, 70)]
    [InlineData(30.2, 85, 100)]
    public void A_check_is_not_held_against_windows_from_the_other_side_of_a_loss_or_a_charge(double? chargeDay, double before, double after)
    {
        Vessel vessel = Bench.Vessel(chargeDays: chargeDay is { } day ? [day] : [], checks: [Bench.Check(29.65, before)]);
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in Machine.Days(0, 40, at => at < 30.2 ? before : after))
        {
            follower.Accept(reading);
        }

        Assert.Equal(
            chargeDay is null ? SegmentCause.SuddenLoss : SegmentCause.RecordedCharge, follower.Assess(follower.LastReading).Segment!.Cause);
        Assert.DoesNotContain(follower.TakeNotices(), IsDrift);
    }

    /// <summary>A vessel that holds its gas stays in one segment, of which old windows are let go; not those that were checked.</summary>
    [Fact]
    public void Checks_of_the_year_before_still_count_in_a_long_segment()
    {
        double[] checkDays = [5.8, 60.8, 120.8, 299.8];
        Vessel vessel = Bench.Vessel(checks: [.. checkDays.Select(day => Bench.Check(day, 100))]);
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        List<PrechargeWindow> windows = [];
        foreach (Reading reading in Machine.Days(0, 300, _ => 100))
        {
            follower.Accept(reading);
            windows.AddRange(follower.TakeChangedWindows());
        }

        TransducerDrift drift = follower.Assess(follower.LastReading).Drift!;
        Assert.Equal(checkDays.Length, drift.Count);
        Assert.False(drift.IsDrifting);
        windows.RemoveAll(window => window.Standing != WindowStanding.Accepted);
        Assert.True(windows.Count > 200);
        Assert.Equal(drift, new VesselFollower(vessel, follower.State, windows, AlarmHandling.Usual).Assess(follower.LastReading).Drift);
    }

    private static bool IsDrift(JobNotice notice) => notice.Job.Cause == JobCause.TransducerDrift;

    /// <summary>A check every two months at a window of the vessel, with one gauge.</summary>
    private static Vessel Checked(double barPerMonth)
    {
        SampleVessel sample = SampleVessel.Of(Id);
        Vessel vessel = Follow.VesselOf(sample);
        PrechargeWindow[] windows = [.. Windows.Value];
        List<PrechargeCheck> checks = [];
        foreach (PrechargeWindow window in windows)
        {
            if (checks.Count == 0 || window.Middle - checks[^1].At > TimeSpan.FromDays(60))
            {
                double months = (window.Middle - windows[0].Middle).TotalDays / 30.4375;
                checks.Add(new PrechargeCheck(
                    window.Middle,
                    GaugePressure.FromPascals(window.MeanPressurePa - vessel.Specification.Ambient.Pascals + (1e5 * barPerMonth * months)),
                    GasTemperature.FromKelvins(window.MeanTemperatureK))
                {
                    GaugeId = "G-1",
                });
            }
        }

        return vessel with { RecordedChecks = checks };
    }

    private static Lazy<IReadOnlyList<PrechargeWindow>> Windows { get; } = new(() => [.. Follow.Whole(Id).Accepted]);

    private static List<JobNotice> Run(Vessel vessel, bool restart)
    {
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        SortedDictionary<DateTimeOffset, PrechargeWindow> windows = [];
        List<JobNotice> notices = [];
        int count = 0;
        foreach (Reading reading in SampleVessel.Of(Id).Readings)
        {
            follower.Accept(reading);
            if (restart && ++count % 20_011 == 0)
            {
                Keep();
                follower = new VesselFollower(
                    vessel, FollowerState.FromStored(follower.State.ToStored())!,
                    [.. windows.Values.Where(window => window.Standing == WindowStanding.Accepted)], AlarmHandling.Usual);
            }
        }

        Keep();
        return notices;

        void Keep()
        {
            foreach (PrechargeWindow window in follower.TakeChangedWindows())
            {
                windows[window.Start] = window;
            }

            notices.AddRange(follower.TakeNotices());
        }
    }
}
