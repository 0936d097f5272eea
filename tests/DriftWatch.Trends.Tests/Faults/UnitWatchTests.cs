using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Tests.Faults;

/// <summary>A unit or kind that is changed in the middle of a vessel's life, on day 20 of 40, and what really happens to vessels.</summary>
public class UnitWatchTests
{
    private const int Change = 20;
    private static readonly PressureSensor Fluid = new(PressureKind.Gauge, 0, 400e5, 0.5e5);

    /// <summary>1 bar is 0.1 MPa and 14.5038 psi, 1 psi 6.89476 kPa: each read under the name of the other, with and without a fluid side.</summary>
    [Theory]
    [InlineData(0.1, true, "bar and MPa")]
    [InlineData(0.1, false, "bar and MPa")]
    [InlineData(1 / 14.5038, true, "psi and bar")]
    [InlineData(1 / 14.5038, false, "psi and bar")]
    [InlineData(1 / 6.89476, true, "kPa and psi")]
    [InlineData(1 / 6.89476, false, "kPa and psi")]
    public void A_unit_mixed_up_in_mid_life_is_told_beside_the_level_that_it_shows(double factor, bool fluid, string words)
    {
        VesselTracker tracker = Track(Days(40, fluid, (day, reading) => day < Change ? reading : factor * reading), Vessel(fluid));
        SensorFault fault = Assert.Single(tracker.Faults);
        Assert.Equal((Signal.GasPressure, Ne107Status.MaintenanceRequired, FaultKind.UnitMixUp), (fault.Signal, fault.Status, fault.Kind));
        Assert.Contains(words, fault.Evidence, StringComparison.Ordinal);
        Assert.InRange(fault.Since, Make.Start.AddDays(Change), Make.Start.AddDays(Change + 2));

        // A vessel that has lost its gas may look the same: it must not be hidden behind a suspicion.
        Assessment now = tracker.Assess(Make.Start.AddDays(40));
        Assert.Equal(Verdict.BelowLowerLimit, now.Verdict);
        Assert.Contains(fault.Evidence, now.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_unit_put_right_again_ends_the_suspicion()
    {
        VesselTracker tracker = Track(Days(40, false, (day, reading) => day is < Change or >= 30 ? reading : reading / 10), Vessel(false));
        Assert.Empty(tracker.Faults);
        Assert.Contains(tracker.Points, point => point.Start > Make.Start.AddDays(31));
        Assert.Equal(101e5, tracker.Assess(Make.Start.AddDays(40)).PrechargePa!.Value, 1e5);
    }

    /// <summary>The gas really goes to a tenth; at work the sensor then shows what no sensor in MPa could.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_loss_to_a_tenth_is_not_hidden_once_the_machine_works(bool fluid)
    {
        VesselTracker tracker = Track(Days(40, fluid, (_, reading) => reading, day => day < Change ? 101 : 11), Vessel(fluid));
        Assert.DoesNotContain(tracker.Faults, fault => fault.Kind == FaultKind.UnitMixUp);
        Assert.Equal(Verdict.BelowLowerLimit, tracker.Assess(Make.Start.AddDays(40)).Verdict);
    }

    /// <summary>The machine stands still, or no working pressures are registered: nothing but the level tells, and it counts.</summary>
    [Theory]
    [InlineData(26)]
    [InlineData(41)]
    [InlineData(11)]
    public void A_loss_on_a_machine_that_stands_still_is_not_hidden(double leftBar)
    {
        VesselTracker tracker = Track(
            Days(40, true, (_, reading) => reading, day => day < Change ? 101 : leftBar).Where(reading => reading.Signal != Signal.GasPressure || reading.Value < 105e5),
            Vessel(true) with { LowestWorkingPressure = null, HighestWorkingPressure = null });
        Assert.Equal(Verdict.BelowLowerLimit, tracker.Assess(Make.Start.AddDays(40)).Verdict);
    }

    /// <summary>All gas gone, the separator on its stop: the gas side shows nothing while the fluid side is under load.</summary>
    [Fact]
    public void A_gas_side_that_is_empty_under_load_disagrees_and_its_windows_count()
    {
        VesselTracker tracker = Track(Days(40, true, (day, reading) => day < Change ? reading : 0.1e5), Vessel(true));
        SensorFault fault = Assert.Single(tracker.Faults, fault => fault.Kind == FaultKind.Disagreement);
        Assert.Equal(Ne107Status.MaintenanceRequired, fault.Status);
        Assert.Equal(Verdict.BelowLowerLimit, tracker.Assess(Make.Start.AddDays(40)).Verdict);
    }

    [Fact]
    public void A_charge_on_record_from_a_tenth_to_the_nominal_is_no_unit()
    {
        var charge = new GasSideWork(Make.Start.AddDays(Change), GasSideWorkKind.Charge);
        VesselTracker tracker = Track(Days(40, false, (_, reading) => reading, day => day < Change ? 11 : 101), Vessel(false), charge);
        Assert.DoesNotContain(tracker.Faults, fault => fault.Kind == FaultKind.UnitMixUp);
        Assert.Contains(tracker.Points, point => point.Start > charge.At);
    }

    /// <summary>One bar more from one day to the next, as an absolute sensor in the place of a gauge makes it, or less the other way round.</summary>
    [Theory]
    [InlineData(1e5, "up", "an absolute sensor")]
    [InlineData(-1e5, "down", "was absolute before")]
    public void A_step_of_one_pressure_of_the_air_is_told_and_its_windows_stay(double stepPa, string way, string other)
    {
        VesselTracker tracker = Track(Days(40, true, (day, reading) => day < Change ? reading : reading + stepPa), Vessel(true));
        SensorFault fault = Assert.Single(tracker.Faults, fault => fault.Kind == FaultKind.GaugeOrAbsolute);
        Assert.Equal(Ne107Status.MaintenanceRequired, fault.Status);

        // A bar at 16 to 24 degrees C is one at 20 degrees C to within 2 % (the isochores of a real gas).
        Assert.Matches($"stepped {way} by (0.9[89]|1.0[0-2]) bar", fault.Evidence);
        Assert.Contains(other, fault.Evidence, StringComparison.Ordinal);
        Assert.Contains(tracker.Points, point => point.Start > Make.Start.AddDays(Change + 3));
        Assert.Contains(fault.Evidence, tracker.Assess(Make.Start.AddDays(40)).Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.6)]
    [InlineData(1.5)]
    [InlineData(-2)]
    public void Another_step_is_no_pressure_of_the_air(double stepBar)
    {
        VesselTracker tracker = Track(Days(40, true, (day, reading) => day < Change ? reading : reading + (stepBar * 1e5)), Vessel(true));
        Assert.DoesNotContain(tracker.Faults, fault => fault.Kind == FaultKind.GaugeOrAbsolute);
    }

    private static VesselSpecification Vessel(bool fluid) => Make.Vessel(fluid ? Fluid : null) with
    {
        GasPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 400e5, 0.3e5),
    };

    /// <summary>Each day ten hours of work and a night's rest, the gas pressure as a logger writes it; the fluid side is always right.</summary>
    private static IEnumerable<Reading> Days(int count, bool fluid, Func<int, double, double> written, Func<int, double>? prechargeBar = null) =>
        Enumerable.Range(0, count).SelectMany(day => Rest.Readings([
            .. Rest.Work(24 * day, 10),
            .. Rest.Samples((24 * day) + 10.2, 13.5, _ => prechargeBar?.Invoke(day) ?? 101, hour => 20 + (4 * Math.Sin(day + (hour / 5)))),
        ]).SelectMany(reading => reading.Signal != Signal.GasPressure ? (Reading[])[reading]
            : [
                .. fluid ? (Reading[])[new(Signal.FluidPressure, reading.Instant, reading.Instant.Hour < 10 ? reading.Value : 0)] : [],
                reading with { Value = written(day, reading.Value) },
            ]));

    private static VesselTracker Track(IEnumerable<Reading> readings, VesselSpecification vessel, params GasSideWork[] work)
    {
        var tracker = new VesselTracker(vessel, work, TrackerState.Start, [], []);
        foreach (Reading reading in readings.Order())
        {
            tracker.Accept(reading);
        }

        return tracker;
    }
}
