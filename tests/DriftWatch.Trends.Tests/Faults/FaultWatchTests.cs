using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Faults;

public class FaultWatchTests
{
    /// <summary>NAMUR NE 43 (from memory) on a range of 0 to 250 bar: 16 mA are 250 bar, so 0.4 mA below 4 are -6.25 bar.</summary>
    [Theory]
    [InlineData(-6.3, LoopState.Failed)]
    [InlineData(-6.25, LoopState.Failed)]
    [InlineData(-6.2, LoopState.Saturated)]
    [InlineData(-3.2, LoopState.Saturated)]
    [InlineData(-3.125, LoopState.Measuring)]
    [InlineData(0, LoopState.Measuring)]
    [InlineData(257.8125, LoopState.Measuring)]
    [InlineData(258, LoopState.Saturated)]
    [InlineData(265.625, LoopState.Failed)]
    [InlineData(double.PositiveInfinity, LoopState.Failed)]
    [InlineData(double.NaN, LoopState.Failed)]
    public void A_loop_current_measures_saturates_or_fails(double bar, object state) =>
        Assert.Equal((LoopState)state, new CurrentLoop(0, 250e5).StateOf(bar * 1e5));

    [Fact]
    public void A_broken_loop_is_a_failure_and_none_of_its_readings_is_used()
    {
        VesselTracker tracker = Track(Night(0).Concat(Night(1).Select(reading => reading.Signal == Signal.GasPressure ? reading with { Value = -15.6e5 } : reading)));
        SensorFault fault = Assert.Single(tracker.Faults);
        Assert.Equal((Signal.GasPressure, Ne107Status.Failure, FaultKind.OutOfRange), (fault.Signal, fault.Status, fault.Kind));
        Assert.Contains("3.0 mA", fault.Evidence, StringComparison.Ordinal);
        Assert.Equal(fault.Evidence, tracker.Assess(Make.Start.AddDays(2)).DataFault);
        Assert.True(tracker.State.Finder.Run!.Blocks[^1].Last < Make.Start.AddDays(1));
    }

    [Fact]
    public void A_single_reading_out_of_range_is_left_out_and_not_told()
    {
        Reading[] readings = [.. Night(0)];
        VesselTracker tracker = Track(readings.Select((reading, i) => i == 41 ? reading with { Value = 1e9 } : reading));
        Assert.Empty(tracker.Faults);
        Assert.Equal((readings.Length / 2) - 1, tracker.State.Finder.Run!.Blocks.Sum(block => block.Count));
    }

    [Fact]
    public void A_pressure_that_stands_while_the_gas_warms_is_stuck_and_its_windows_are_rejected()
    {
        VesselTracker tracker = Track(Enumerable.Range(0, 5).SelectMany(Night)
            .Select(reading => reading.Signal == Signal.GasPressure ? reading with { Value = 99e5 } : reading));
        SensorFault fault = Assert.Single(tracker.Faults);
        Assert.Equal((Signal.GasPressure, Ne107Status.Failure, FaultKind.Stuck), (fault.Signal, fault.Status, fault.Kind));
        Assert.Empty(tracker.Points);
        Assert.All(tracker.TakeChangedWindows(), window => Assert.Equal(WindowStanding.Rejected, window.Standing));
    }

    [Fact]
    public void An_empty_vessel_may_stand_on_zero()
    {
        VesselTracker tracker = Track(Enumerable.Range(0, 5).SelectMany(Night)
            .Select(reading => reading.Signal == Signal.GasPressure ? reading with { Value = 0 } : reading));
        Assert.Empty(tracker.Faults);
    }

    /// <summary>Gauge registered, and an emptied vessel shows 1.0 bar; absolute registered, and it shows nothing.</summary>
    [Theory]
    [InlineData(PressureKind.Gauge, 1.0e5, true)]
    [InlineData(PressureKind.Gauge, 0.0, false)]
    [InlineData(PressureKind.Absolute, 0.05e5, true)]
    [InlineData(PressureKind.Absolute, 1.0e5, false)]
    public void At_an_empty_vessel_gauge_and_absolute_are_told_apart(PressureKind kind, double shownPa, bool told)
    {
        VesselSpecification vessel = Make.Vessel(contact: true);
        vessel = vessel with { GasPressureSensor = vessel.GasPressureSensor with { Kind = kind } };
        VesselTracker tracker = Track(Enumerable.Range(0, 3).SelectMany(Night).SelectMany(reading => (Reading[])
        [
            reading.Signal == Signal.GasPressure ? reading with { Value = shownPa } : reading,
            new(Signal.Depressurised, reading.Instant, reading.Instant.Hour < 22 ? 1 : 0),
        ]), vessel);
        Assert.Equal(told ? [FaultKind.GaugeOrAbsolute] : [], tracker.Faults.Select(fault => fault.Kind));
    }

    [Fact]
    public void A_temperature_that_falls_silent_is_told_by_the_others()
    {
        VesselTracker tracker = Track(Night(0).Concat(Night(1).Where(reading => reading.Signal == Signal.GasPressure)));
        SensorFault fault = Assert.Single(tracker.Faults);
        Assert.Equal((Signal.GasTemperature, Ne107Status.Failure, FaultKind.DropOut), (fault.Signal, fault.Status, fault.Kind));
    }

    /// <summary>The new transducers send one after the other: what was sent before the change is no silence of the one that comes second.</summary>
    [Fact]
    public void A_change_of_transducers_is_no_drop_out()
    {
        var tracker = new VesselTracker(
            Make.Vessel(), [new GasSideWork(Make.Start.AddDays(5), GasSideWorkKind.TransducerChange)], TrackerState.Start, [], []);
        foreach (Reading reading in Enumerable.Range(0, 6).SelectMany(Night).Order())
        {
            tracker.Accept(reading);
            Assert.Empty(tracker.Faults);
        }

        foreach (Reading reading in Night(6).Order().Where(reading => reading.Signal == Signal.GasTemperature))
        {
            tracker.Accept(reading);
        }

        Assert.Equal(FaultKind.DropOut, Assert.Single(tracker.Faults).Kind);
    }

    /// <summary>Three days that read 10 bar more, dated by a logger that starts at the beginning of its calendar, before thirty of the true year.</summary>
    [Theory]
    [InlineData(26)]
    [InlineData(6)]
    public void Readings_of_a_clock_that_was_not_set_are_told_and_left_out(int yearsBack)
    {
        Reading[] true_ = [.. Enumerable.Range(0, 30).SelectMany(Night)];
        IEnumerable<Reading> stray = Enumerable.Range(0, 3).SelectMany(Night).Select(reading => reading with
        {
            Instant = reading.Instant.AddYears(-yearsBack),
            Value = reading.Signal == Signal.GasPressure ? reading.Value + 10e5 : reading.Value,
        });
        VesselTracker soon = Track(true_.Take(600).Concat(stray));
        SensorFault fault = Assert.Single(soon.Faults);
        Assert.Equal((FaultKind.Clock, Ne107Status.FunctionCheck), (fault.Kind, fault.Status));
        Assert.Contains($"{2026 - yearsBack}-01-05 to {2026 - yearsBack}-01-07", fault.Evidence, StringComparison.Ordinal);

        VesselTracker with = Track(true_.Concat(stray)), without = Track(true_);
        Assert.Empty(with.Faults);
        Assert.Equal(without.Points.Select(point => point.PrechargePa), with.Points.Select(point => point.PrechargePa));
        DateTimeOffset end = Make.Start.AddDays(30);
        Assert.Equal(without.Assess(end).Reason, with.Assess(end).Reason);
        PrechargeWindow[] last = [.. with.TakeChangedWindows().GroupBy(window => window.Start).Select(group => group.Last()).Where(window => window.Start < Make.Start.AddYears(-1))];
        Assert.NotEmpty(last);
        Assert.All(last, window => Assert.Equal((WindowStanding.Rejected, true), (window.Standing, window.Reason.Contains("clock was not set", StringComparison.Ordinal))));
    }

    /// <summary>A vessel that is looked at for a day once a year keeps its years: no gap is as long as that of a wrong clock.</summary>
    [Fact]
    public void A_day_a_year_is_no_wrong_clock() => Assert.Equal(
        5, Track(Enumerable.Range(0, 5).SelectMany(year => Night(365 * year))).Points.Select(point => point.Start.Year).Distinct().Count() + 1);

    /// <summary>Sixty windows with scatter 0.1 bar: a climb of 6 bar, a step of 6 bar, nothing.</summary>
    [Fact]
    public void A_rising_precharge_is_told_by_its_shape()
    {
        var dice = new NormalDice(7);
        PrechargeWindow[] Windows(Func<int, double> bar) => [.. Enumerable.Range(0, 60).Select(i => Make.Window(i, bar(i) + (0.1 * dice.Next())))];
        Assert.Equal(RiseShape.FluidInGasSide, RisingPrecharge.Of(Windows(i => 100 + (0.1 * i)), 100e5)!.Shape);

        // Level for 25 windows, then up by 0.1 bar a day: a step through the middle lies nearer to that than one line through all of it.
        RisingPrecharge late = RisingPrecharge.Of(Windows(i => 100 + (0.1 * Math.Max(0, i - 25))), 100e5)!;
        Assert.Equal(RiseShape.FluidInGasSide, late.Shape);
        Assert.Equal(3.4e5, late.RisePa, 0.3e5);
        Assert.InRange((late.First - Make.Start).TotalDays, 20, 30);
        RisingPrecharge step = RisingPrecharge.Of(Windows(i => i < 25 ? 100 : 106), 100e5)!;
        Assert.Equal(RiseShape.UnrecordedCharge, step.Shape);
        Assert.Equal(6e5, step.RisePa, 0.15e5);
        Assert.Null(RisingPrecharge.Of(Windows(_ => 100), 100e5));

        // What is left in an empty vessel creeps up by a hundredth of a bar: a large share of it, and nothing.
        Assert.Null(RisingPrecharge.Of([.. Enumerable.Range(0, 60).Select(i => Make.Window(i, 0.02 + (0.0005 * i)))], 100e5));
        Assert.Null(RisingPrecharge.Of(Windows(i => 100 - (0.1 * i)), 100e5));
        Assert.Null(RisingPrecharge.Of([.. Windows(i => 100 + i).Take(5)], 100e5));
    }

    /// <summary>A day of rest whose gas warms and cools by 8 K.</summary>
    private static IEnumerable<Reading> Night(int day) => Enumerable.Range(0, 24 * 6).SelectMany(i =>
    {
        DateTimeOffset at = Make.Start.AddDays(day).AddMinutes(10 * i);
        double kelvins = 293.15 + (4 * Math.Sin(i / 23.0)) + (0.001 * i);
        return (Reading[])
        [
            new(Signal.GasTemperature, at, kelvins),
            new(Signal.GasPressure, at, IsochoricCorrection.PressureAtReferencePa(100e5, 293.15, kelvins) - 1e5),
        ];
    });

    private static VesselTracker Track(IEnumerable<Reading> readings, VesselSpecification? vessel = null)
    {
        var tracker = new VesselTracker(vessel ?? Make.Vessel(), [], TrackerState.Start, [], []);
        foreach (Reading reading in readings.Order())
        {
            tracker.Accept(reading);
        }

        return tracker;
    }
}
