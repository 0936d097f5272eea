using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Trends.Tests.Tracking;

/// <summary>Leaks that move the pressure visibly within one rest, and honest rests that move too: 100 bar, lower limit 90, leaking from day 20 on.</summary>
public class FastLeakTests
{
    private const double From = 20;

    private static double Leaking(double day, double percentPerDay) =>
        101 * Math.Exp(-percentPerDay / 100 * Math.Max(0, day - From));

    public static TheoryData<double, bool, double> Leaks()
    {
        var leaks = new TheoryData<double, bool, double>();
        foreach (double percent in (double[])[3, 5, 10, 20, 30, 60])
        {
            foreach (bool known in (bool[])[true, false])
            {
                leaks.Add(percent, known, 1);
                leaks.Add(percent, known, 10);
            }
        }

        return leaks;
    }

    /// <summary>
    /// On the first morning where the night ends a tenth below, on the second where it falls and ends less deep, on the third where a
    /// rest does not show by itself that it falls. That is when the vessel stops having rested: no earlier window can be.
    /// </summary>
    [Theory]
    [MemberData(nameof(Leaks))]
    public void A_fast_leak_is_called_within_days(double percentPerDay, bool fluidKnown, double stepMinutes) => CalledBy(
        From + (percentPerDay <= 5 ? 3 : percentPerDay < 20 ? 2 : 1),
        new SimulatedDays { PrechargeBar = day => Leaking(day, percentPerDay), FluidKnown = fluidKnown, StepMinutes = stepMinutes });

    /// <summary>A rest without end is cut each midnight, where the room cools fastest, and 16 K of day and night move the pressure by 6 bar.</summary>
    [Theory]
    [InlineData(3, true)]
    [InlineData(3, false)]
    [InlineData(10, true)]
    [InlineData(10, false)]
    [InlineData(30, true)]
    [InlineData(30, false)]
    public void A_room_that_warms_and_cools_does_not_hide_it(double percentPerDay, bool fluidKnown)
    {
        var days = new SimulatedDays { PrechargeBar = day => Leaking(day, percentPerDay), FluidKnown = fluidKnown, StepMinutes = 10 };
        CalledBy(From + 3, days with { AlwaysRests = true });
        CalledBy(From + 3, days with { Room = day => 15 + (8 * Math.Sin(2 * Math.PI * day)) });
    }

    /// <summary>
    /// A charge on record to 102 bar and a valve that leaks from then on: no level was trusted since, and no two rests agree on one. With
    /// the gas side alone a plateau may stand on fluid, but below the lower limit no precharge is higher than it.
    /// </summary>
    [Theory]
    [InlineData(3, true)]
    [InlineData(3, false)]
    [InlineData(10, true)]
    [InlineData(10, false)]
    [InlineData(30, true)]
    [InlineData(30, false)]
    public void A_leak_from_a_charge_on_is_called_two_rests_below_the_lower_limit(double percentPerDay, bool fluidKnown)
    {
        double charge = From + 0.2;
        double below = charge + (Math.Log(103 / 91.0) / (percentPerDay / 100));
        CalledBy(Math.Ceiling(below) + 3, new SimulatedDays
        {
            PrechargeBar = day => day < charge ? 101 : 103 * Math.Exp(-percentPerDay / 100 * (day - charge)),
            Work = [new GasSideWork(Make.Start.AddDays(charge), GasSideWorkKind.Charge)],
            FluidKnown = fluidKnown,
            StepMinutes = 10,
        });
    }

    private static void CalledBy(double day, SimulatedDays days)
    {
        var called = days.Called(60);
        Assert.NotNull(called);
        TestContext.Current.TestOutputHelper!.WriteLine(FormattableString.Invariant(
            $"{called.Value.Verdict} on day {called.Value.Day:0.0} at {called.Value.TrueBar - 1:0.0} bar"));
        Assert.InRange(called.Value.Day, From, day);
    }

    /// <summary>Once it is called, what is said follows the fall: on each later morning the last night, to 1 bar and its uncertainty.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void The_fall_is_followed_to_its_end(bool fluidKnown)
    {
        var days = new SimulatedDays { PrechargeBar = day => Leaking(day, 10), FluidKnown = fluidKnown, StepMinutes = 10 };
        var tracker = new VesselTracker(days.Vessel, [], TrackerState.Start, [], []);
        double asked = From + 3.1;
        foreach (Readings.Reading reading in days.Readings(0, 32).Order())
        {
            tracker.Accept(reading);
            if ((reading.Instant - Make.Start).TotalDays >= asked)
            {
                Assessment now = tracker.Assess(reading.Instant);
                Assert.Equal(Verdict.BelowLowerLimit, now.Verdict);
                Assert.Equal(Leaking(Math.Floor(asked), 10), now.PrechargePa!.Value / 1e5, 1 + (2 * now.PrechargeUncertaintyPa!.Value / 1e5));
                asked++;
            }
        }

        Assert.Equal(32.1, asked, 0.01);
    }

    /// <summary>
    /// Gas that comes to its temperature within hours, from 20 K below or above, before a sensor that follows by minutes, by most of an hour
    /// or hardly at all: the normalised pressure moves by some bar through the rest, and no rest may become a loss.
    /// </summary>
    [Theory]
    [InlineData(1, 0.1)]
    [InlineData(1, 0.7)]
    [InlineData(1, 8)]
    [InlineData(3, 0.1)]
    [InlineData(3, 0.7)]
    [InlineData(3, 8)]
    [InlineData(5, 8)]
    public void A_gas_that_settles_slowly_is_no_leak(double settlingHours, double lagHours)
    {
        foreach (bool known in (bool[])[true, false])
        {
            foreach (double release in (double[])[-20, 20])
            {
                NotCalled(new SimulatedDays
                {
                    PrechargeBar = _ => 101,
                    SettlingHours = settlingHours,
                    ReleaseK = release,
                    LagHours = lagHours,
                    FluidKnown = known,
                    StepMinutes = 10,
                });
            }
        }
    }

    /// <summary>A sensor that shows part of the swing of a room, and three cold days in it; one on which the sun shines from day 20 on.</summary>
    [Theory]
    [InlineData(0.3, 0)]
    [InlineData(0.5, 0)]
    [InlineData(0.8, 0)]
    [InlineData(1, 15)]
    public void A_temperature_that_is_wrong_is_no_leak(double gain, double sunK)
    {
        foreach (bool known in (bool[])[true, false])
        {
            NotCalled(new SimulatedDays
            {
                PrechargeBar = _ => 101,
                FluidKnown = known,
                StepMinutes = 10,
                Room = day => 20 + (10 * Math.Sin(2 * Math.PI * day)) - (day is > 30 and < 33 ? 12 : 0),
                Shown = (day, celsius) => 20 + (gain * (celsius - 20)) + (day > 20 ? sunK * Math.Max(0, Math.Sin(2 * Math.PI * (day - 0.45))) : 0),
            });
        }
    }

    /// <summary>
    /// Fluid shut in each night, or but for every third, that seeps out by one exponential of so many hours, or evenly until it has gone:
    /// the plateau falls as a leak's does, and never below the precharge.
    /// </summary>
    [Theory]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(10)]
    [InlineData(20)]
    [InlineData(40)]
    public void Fluid_that_seeps_out_is_no_leak(double hours)
    {
        static double Since(double day) => (day * 24 % 24) - 10;
        foreach (Func<double, double> lift in (Func<double, double>[])
        [
            day => 0.1 * Math.Exp(-Since(day) / hours),
            day => day < From ? 0 : 0.15 * Math.Exp(-Since(day) / hours),
            day => (int)day % 3 == 0 ? 0 : 0.1 * Math.Exp(-Since(day) / hours),
            day => (int)day % 3 == 0 ? 0 : Math.Max(0, 0.1 * (1 - (Since(day) / hours))),
        ])
        {
            NotCalled(new SimulatedDays { PrechargeBar = _ => 101, Lift = lift, StepMinutes = 10 });
        }
    }

    private static void NotCalled(SimulatedDays days)
    {
        var called = days.Called(60);
        Assert.True(called is null, FormattableString.Invariant($"{called?.Verdict} on day {called?.Day:0.0}: {called?.Tracker.Assess(Make.Start.AddDays(60)).Reason}"));
    }
}
