using DriftWatch.SamplePlant;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Windows;
using InventedPlant = DriftWatch.SamplePlant.Plant;

namespace DriftWatch.Trends.Tests.Faults;

/// <summary>Faults planted in vessels of the invented plant, sixty days each, and what is told of them.</summary>
public class PlantedFaultTests(ITestOutputHelper output)
{
    private static readonly DateTimeOffset End = InventedPlant.Start.AddDays(60);

    [Fact]
    public void Psi_under_the_name_of_bar_leaves_the_range_and_is_suspected() => Told(
        "HY1-A2", script => script with { PressureUnitFactor = 14.5038 },
        (Signal.GasPressure, Ne107Status.Failure, FaultKind.OutOfRange), (Signal.GasPressure, Ne107Status.FunctionCheck, FaultKind.UnitMixUp));

    [Fact]
    public void Bar_under_the_name_of_psi_is_suspected_by_the_working_pressure_that_never_comes()
    {
        VesselTracker tracker = Told(
            "PR1-A1", script => script with { PressureUnitFactor = 1 / 14.5038 }, (Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.UnitMixUp));
        Assert.Contains("psi", tracker.Assess(End).DataFault, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sensor_that_drifts_away_from_the_fluid_side_wants_maintenance() => Told(
        "PR3-A1", script => script with { PressureDriftBarPerMonth = 3 }, (Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Disagreement));

    [Fact]
    public void A_swapped_sensor_is_seen_against_the_fluid_side() => Told(
        "PR3-A1", script => script with { PressureSwap = new SensorSwap(End.AddDays(-30), 6) },
        (Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Disagreement));

    [Fact]
    public void Rows_that_get_lost_are_told_as_drop_outs()
    {
        VesselTracker tracker = Track(SampleVessel.With("PR1-A1", script => script with { End = End, LostShare = 0.5 }));
        Assert.Equal([FaultKind.DropOut, FaultKind.DropOut], tracker.Faults.Select(fault => fault.Kind));
        Assert.All(tracker.Faults, fault => Assert.Equal(Ne107Status.MaintenanceRequired, fault.Status));
        Assert.True(tracker.Points.Count > 40);
    }

    [Fact]
    public void Noise_is_told_and_widens_the_points()
    {
        static VesselScript Short(VesselScript script) => script with { End = End };
        VesselTracker sound = Track(SampleVessel.With("HY1-A2", Short));
        VesselTracker noisy = Told(
            "HY1-A2", script => script with { ExtraPressureNoiseBar = 2.5 }, (Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.Noise));
        Assert.True(noisy.Points.Average(point => point.RandomUncertaintyPa) > 2 * sound.Points.Average(point => point.RandomUncertaintyPa));
    }

    [Fact]
    public void A_fluid_side_whose_clock_goes_hours_late_disagrees_with_the_gas_side()
    {
        SampleVessel sample = SampleVessel.With("PR3-A1", script => script with { End = End, FluidClockLateHours = 4 });
        var tracker = new VesselTracker(sample.Specification, sample.Work, TrackerState.Start, [], []);
        List<SensorFault> seen = [];
        foreach (Reading reading in sample.Readings)
        {
            tracker.Accept(reading);
            if (reading.Signal == Signal.GasPressure && reading.Instant.Minute < 15)
            {
                seen.AddRange(tracker.Faults.Where(fault => fault.Kind == FaultKind.Disagreement));
            }
        }

        Assert.Contains(seen, fault => fault is { Signal: Signal.FluidPressure, Status: Ne107Status.FunctionCheck });
        Assert.Contains(seen, fault => fault.Evidence.Contains("clock", StringComparison.Ordinal));
    }

    /// <summary>Set back by some hours, the hours before come twice: told within them, forgotten a week later.</summary>
    [Fact]
    public void A_clock_set_back_is_told()
    {
        SampleVessel sample = SampleVessel.With(
            "PR1-A1", script => script with { End = End, ClockSetBack = new ClockSetBack(End.AddDays(-3), new TimeSpan(5, 3, 0)) });
        VesselTracker tracker = Track(sample);
        Assert.Equal([FaultKind.Clock, FaultKind.Clock], tracker.Faults.Select(fault => fault.Kind));
        Assert.All(tracker.Faults, fault => Assert.InRange(fault.Since, End.AddDays(-3).AddHours(-5.1), End.AddDays(-3)));
    }

    /// <summary>Each rest with a placement error of its own, 0.1 K: points scatter more, and still less than is stated.</summary>
    [Fact]
    public void A_placement_error_scatters_the_points_within_what_is_stated()
    {
        double clean = Spread(0), planted = Spread(0.1);
        output.WriteLine($"spread in stated uncertainties: {clean:0.00} without, {planted:0.00} with 0.1 K");

        // Of 0.15 K stated 0.1 K is planted: two thirds, and what the clean run has beside it.
        Assert.InRange(planted, 0.5, 0.85);
        Assert.True(clean < 0.3);
    }

    private static double Spread(double placementK)
    {
        SampleVessel sample = SampleVessel.With("PR1-A1", script => script with { End = InventedPlant.Start.AddDays(150), PlacementErrorK = placementK });
        PrechargeWindow[] points = [.. Track(sample).TakeChangedWindows().Where(window => window.Standing == WindowStanding.Accepted)];
        double[] misses = [.. points.Select(point => point.PrechargePa - (sample.Truth.PrechargeBarGauge(point.Middle) * 1e5))];
        double mean = misses.Average();
        return Math.Sqrt(points.Zip(misses).Average(pair => Math.Pow((pair.Second - mean) / pair.First.RandomUncertaintyPa, 2)));
    }

    private static VesselTracker Told(
        string id, Func<VesselScript, VesselScript> plant, params (Signal Signal, Ne107Status Status, FaultKind Kind)[] expected)
    {
        VesselTracker tracker = Track(SampleVessel.With(id, script => plant(script) with { End = End }));
        Assert.Equal(expected, tracker.Faults.Select(fault => (fault.Signal, fault.Status, fault.Kind)));
        return tracker;
    }

    private static VesselTracker Track(SampleVessel sample)
    {
        var tracker = new VesselTracker(sample.Specification, sample.Work, TrackerState.Start, [], []);
        foreach (Reading reading in sample.Readings)
        {
            tracker.Accept(reading);
        }

        return tracker;
    }
}
