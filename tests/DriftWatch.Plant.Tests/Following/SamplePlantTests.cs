using DriftWatch.Plant.Jobs;
using DriftWatch.SamplePlant;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tests;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using InventedPlant = DriftWatch.SamplePlant.Plant;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>The whole chain, from readings to jobs, against the planted truth.</summary>
public class SamplePlantTests(ITestOutputHelper output)
{
    public static TheoryData<string> Ids => [.. InventedPlant.Vessels.Select(script => script.Id)];

    [Theory]
    [MemberData(nameof(Ids))]
    public void Verdict_points_and_crossing_fit_the_planted_truth(string id)
    {
        SampleVessel sample = SampleVessel.Of(id);
        Follow follow = Follow.Whole(id);
        follow.Follower.AdvanceTo(sample.Script.End);
        follow.Keep();
        Assessment now = follow.Follower.Assess(sample.Script.End);
        Assert.Equal(sample.Script.ExpectedVerdict.ToString(), now.Verdict.ToString());

        // One sensor is planted faulty, and no fault is seen where there is none.
        Assert.Equal(
            sample.Script.TemperatureStuckFrom is null ? [] : [(Signal.GasTemperature, FaultKind.Stuck, Ne107Status.Failure)],
            now.Faults.All.Select(fault => (fault.Signal, fault.Kind, fault.Status)));
        PointsFit(sample, follow);
        NoWindowUnderPressure(sample, follow);
        if (sample.Script.BurstAt is null && sample.Truth.LowerLimitCrossing() is { } crossing)
        {
            output.WriteLine($"crossing {crossing:yyyy-MM-dd}, foretold {now.Forecast!.Earliest:yyyy-MM-dd} to {now.Forecast.Latest:yyyy-MM-dd}");
            Assert.True(now.Forecast.Earliest <= crossing && crossing <= now.Forecast.Latest);
        }

        // At most one job stands at any moment on these streams, and each that ended was open.
        HashSet<string> open = [];
        foreach (JobNotice notice in follow.Notices)
        {
            Assert.True(notice.State == JobState.Open ? open.Add(notice.Job.Key) == (notice.Job.Revision == 1) : open.Remove(notice.Job.Key));
            Assert.InRange(open.Count, 0, 1);
        }

        bool asksForWork = now.Verdict is not (Trends.Verdicts.Verdict.WithinLimits or Trends.Verdicts.Verdict.NotKnownYet);
        Assert.Equal(asksForWork ? 1 : 0, open.Count);
    }

    /// <summary>
    /// Offsets of the sensors are shared by all points, so the mean miss must lie inside the shared uncertainty (three of it),
    /// and what is left scatters with the random one. The plant plants no error of placement, of which the budget holds 0.15 K,
    /// so its points scatter less than the budget says; more than twice as much would be a lie. After a burst the gauge stands on
    /// its lower end and the offset is gone, so those points are left out.
    /// </summary>
    private void PointsFit(SampleVessel sample, Follow follow)
    {
        PrechargeWindow[] points = [.. follow.Accepted.Where(window => !(window.End >= sample.Script.BurstAt))];
        double[] misses = [.. points.Select(window =>
            window.PrechargePa - sample.Script.BarometricPa - (sample.Truth.PrechargeBarGauge(window.Middle) * 1e5))];
        double mean = misses.Average();
        double spread = Math.Sqrt(points.Zip(misses).Average(pair => Math.Pow((pair.Second - mean) / pair.First.RandomUncertaintyPa, 2)));
        double worst = points.Zip(misses).Max(pair => Math.Abs(pair.Second - mean) / pair.First.RandomUncertaintyPa);
        output.WriteLine($"{points.Length} points, mean miss {mean / 1e5:0.000} bar, spread {spread:0.00}, worst {worst:0.0} random uncertainties");
        ThermalMemory thermal = follow.Follower.State.Tracker.Thermal!;
        output.WriteLine(
            $"scatter {Math.Sqrt(misses.Average(miss => (miss - mean) * (miss - mean))) / 1e5:0.000} bar of {points.Average(point => point.RandomUncertaintyPa) / 1e5:0.000} stated; "
            + $"settling {thermal.Settling?.Seconds:0} s of {sample.Script.GasLagMinutes * 60:0}, lag {thermal.Lag?.Seconds:0} s of {sample.Script.TemperatureSensorLagMinutes * 60:0}, "
            + $"{points.Count(point => point.ExtrapolatedPa != 0)} extrapolated");
        Assert.True(Math.Abs(mean) < 3 * points[0].SharedUncertaintyPa);
        Assert.InRange(spread, 0.05, 2);
        Assert.InRange(worst, 0, 5);
    }

    /// <summary>No accepted window reaches into a stretch in which fluid was in the vessel, but for the sample on its edge.</summary>
    private static void NoWindowUnderPressure(SampleVessel sample, Follow follow)
    {
        Stretch[] loaded = [.. VesselRun.Timetable(sample.Script, InventedPlant.Seed).Where(stretch => stretch.State != FluidState.Released)];
        foreach (PrechargeWindow window in follow.Accepted)
        {
            Assert.DoesNotContain(loaded, stretch =>
                sample.Script.Start.AddMinutes(stretch.StartMinute + 1) < window.End
                && sample.Script.Start.AddMinutes(stretch.EndMinute - 1) > window.Start);
        }
    }

    /// <summary>
    /// Four other years of the vessel with trapped fluid, in half of them more often than every third rest: none of the
    /// trapped plateaus becomes a point, and none of the tight-enough vessels is called.
    /// </summary>
    [Fact]
    public void Trapped_fluid_is_never_taken_for_precharge()
    {
        SampleVessel sample = SampleVessel.Of("PR1-A2");
        int episodes = 0;
        for (ulong seed = 1; seed <= 4; seed++)
        {
            VesselScript script = sample.Script with { TrappedShare = seed % 2 == 0 ? 0.15 : 0.4 };
            var follow = new Follow(sample);
            foreach (LoggedReading row in VesselRun.Readings(script, seed, script.Start, script.End))
            {
                follow.Accept(new Reading(Signal.GasTemperature, row.Time, row.GasTemperatureC + 273.15));
                follow.Accept(new Reading(Signal.GasPressure, row.Time, row.GasPressureBar * 1e5));
            }

            follow.Keep();
            Stretch[] trapped = [.. VesselRun.Timetable(script, seed).Where(stretch => stretch.State == FluidState.Trapped)];
            episodes += trapped.Length;
            Assert.DoesNotContain(follow.Accepted, window => Array.Exists(trapped, stretch =>
                script.Start.AddMinutes(stretch.StartMinute + 1) < window.End
                && script.Start.AddMinutes(stretch.EndMinute - 1) > window.Start));
            Assert.Equal(Trends.Verdicts.Verdict.WithinLimits, follow.Follower.Assess(script.End).Verdict);
            Assert.Empty(follow.Notices);
        }

        output.WriteLine($"{episodes} trapped rests");
        Assert.True(episodes > 300);
    }
}
