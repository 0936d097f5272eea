using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Trends.Tests.Faults;

/// <summary>
/// A vessel that always rests and loses gas from day 20 on, beside a signal that stands because nothing moves it: the loss is the vessel's and
/// no fault of the signal. And signals that are really stuck.
/// </summary>
public class LossAtRestTests
{
    private const double From = 20;

    /// <summary>At once to a level, bar gauge, or by so many percent a day.</summary>
    private static SimulatedDays Losing(double to, double percentPerDay = 0) => new()
    {
        PrechargeBar = day => day < From ? 101 : percentPerDay > 0 ? 101 * Math.Exp(-percentPerDay / 100 * (day - From)) : to + 1,
        AlwaysRests = true,
        StepMinutes = 10,
    };

    /// <summary>Steps of 0.5 K in a room that keeps to 0.1 K: the temperature stands for good.</summary>
    private static SimulatedDays InAnEvenRoom(SimulatedDays days) => days with
    {
        Room = day => 20.1 + (0.1 * Math.Sin(2 * Math.PI * day)),
        Shown = (_, celsius) => Math.Round(celsius * 2) / 2,
    };

    [Theory]
    [InlineData(40, 0)]
    [InlineData(92, 0)]
    [InlineData(0, 3)]
    [InlineData(0, 10)]
    public void A_loss_beside_a_fluid_side_that_reads_zero_is_called(double to, double percentPerDay) =>
        CalledBy(From + 4, Losing(to, percentPerDay) with { FluidKnown = true });

    [Theory]
    [InlineData(40, 0, true)]
    [InlineData(40, 0, false)]
    [InlineData(92, 0, true)]
    [InlineData(92, 0, false)]
    [InlineData(0, 3, true)]
    [InlineData(0, 3, false)]
    [InlineData(0, 10, true)]
    [InlineData(0, 10, false)]
    public void A_loss_in_a_room_that_keeps_its_temperature_is_called(double to, double percentPerDay, bool fluidKnown) =>
        CalledBy(From + 6, InAnEvenRoom(Losing(to, percentPerDay)) with { FluidKnown = fluidKnown });

    /// <summary>Readings each minute, whose noise spans eight standard deviations in a month.</summary>
    [Fact]
    public void Noise_is_no_rise() => CalledBy(From + 4, InAnEvenRoom(Losing(92)) with { StepMinutes = 1 });

    /// <summary>And gas that is filled again, nobody having recorded it, does not make the fluid side stuck either.</summary>
    [Fact]
    public void A_loss_and_the_charge_after_it_are_no_work()
    {
        SimulatedDays days = Losing(40) with { FluidKnown = true, PrechargeBar = day => day is > 20 and < 25.3 ? 41 : 101 };
        VesselTracker tracker = Track(days, days.Readings(0, 35));
        Assert.DoesNotContain(tracker.Faults, fault => fault.Kind == FaultKind.Stuck);
        Assert.Equal(101e5, tracker.Points[^1].PrechargePa, 0.3e5);
    }

    /// <summary>A fluid side that stands on zero while the machine works by day is stuck, and told on the second day.</summary>
    [Fact]
    public void A_fluid_side_that_stands_while_the_machine_works_is_stuck()
    {
        SimulatedDays days = Losing(0) with { PrechargeBar = _ => 101, FluidKnown = true, AlwaysRests = false };
        VesselTracker tracker = Track(days, days.Readings(0, 2).Select(reading => reading.Signal == Signal.FluidPressure ? reading with { Value = 0 } : reading));
        Assert.Contains(tracker.Faults, fault => (fault.Signal, fault.Kind) == (Signal.FluidPressure, FaultKind.Stuck));
    }

    /// <summary>
    /// A sensor that froze, beside a vessel that rests from summer to winter: the room cools by 14 K in 120 days, warms and cools by one
    /// kelvin a day and by three over the weeks. It is found before it can make a loss.
    /// </summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_frozen_temperature_is_found_and_makes_no_loss_of_the_season(bool fluidKnown)
    {
        SimulatedDays days = Losing(0) with
        {
            PrechargeBar = _ => 101,
            FluidKnown = fluidKnown,
            Room = day => 24 - (14 * Math.Clamp((day - 20) / 120, 0, 1)) + (0.5 * Math.Sin(2 * Math.PI * day)) + (1.5 * Math.Sin(day)),
            Shown = (day, celsius) => day < 20 ? celsius : 23.7,
        };
        VesselTracker tracker = new(days.Vessel, [], TrackerState.Start, [], []);
        foreach (Reading reading in days.Readings(0, 140).Order())
        {
            if (tracker.Accept(reading))
            {
                Assert.NotEqual(Verdict.FallingFasterThanAllowed, tracker.Assess(reading.Instant).Verdict);
            }
        }

        Assert.Contains(tracker.Faults, fault => (fault.Signal, fault.Kind) == (Signal.GasTemperature, FaultKind.Stuck));
        Assert.Equal(Verdict.NoWindowTooLong, tracker.Assess(Make.Start.AddDays(140)).Verdict);
    }

    private static void CalledBy(double day, SimulatedDays days)
    {
        var called = days.Called(60);
        Assert.NotNull(called);
        TestContext.Current.TestOutputHelper!.WriteLine(FormattableString.Invariant(
            $"{called.Value.Verdict} on day {called.Value.Day:0.0} at {called.Value.TrueBar - 1:0.0} bar"));
        Assert.InRange(called.Value.Day, From, day);
        Assert.Empty(called.Value.Tracker.Faults);
    }

    private static VesselTracker Track(SimulatedDays days, IEnumerable<Reading> readings)
    {
        var tracker = new VesselTracker(days.Vessel, [], TrackerState.Start, [], []);
        foreach (Reading reading in readings.Order())
        {
            tracker.Accept(reading);
        }

        return tracker;
    }
}
