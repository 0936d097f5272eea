using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>A fault often stops the windows: its alarm must not wait for the next one.</summary>
public sealed class DataFaultFollowingTests
{
    private const int Dead = 20;
    private const int Mended = 24;
    private const int End = 30;

    /// <summary>The gas transducer's loop is cut at 0.2 mA (NAMUR NE 43: below 3.6 mA is a failure) from day 20 to day 24.</summary>
    private static IEnumerable<Reading> CutLoop => Machine.Days(0, End, _ => 100).Select(reading =>
        reading.Signal == Signal.GasPressure && reading.Instant >= Day(Dead) && reading.Instant < Day(Mended)
            ? reading with { Value = Machine.Loop(0.2) }
            : reading);

    [Fact]
    public void A_dead_transducer_is_told_at_its_third_reading_and_gone_a_day_after_it_was_mended()
    {
        AlarmChange[] told = [.. Follow(Bench.Vessel(), CutLoop, (_, _) => { })];
        Assert.Equal([AlarmEvent.ConditionOn, AlarmEvent.ConditionOff], told.Select(change => change.What));
        Assert.All(told, change => Assert.Equal(AlarmKind.DataFault, change.Kind));
        Assert.Equal(Day(Dead).AddMinutes(20), told[0].At);
        Assert.Contains("0.2 mA", told[0].Why, StringComparison.Ordinal);
        Assert.Equal(Day(Mended) + AlarmHandling.Usual.OffDelay.Of(AlarmKind.DataFault), told[1].At);
    }

    /// <summary>Production without a stop: no window comes, and the fluid side under load says that the separator stands on its stop.</summary>
    [Fact]
    public void A_burst_in_production_is_told_under_load()
    {
        Vessel vessel = Bench.Vessel();
        vessel = vessel with
        {
            Specification = vessel.Specification with { FluidPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 250e5, 0.2e5) },
        };
        IEnumerable<Reading> readings = Enumerable.Range(0, 6 * 24 * 5).SelectMany(i =>
        {
            DateTimeOffset at = Bench.Start.AddMinutes(10 * i);
            double fluidPa = i % 2 == 0 ? 130e5 : 180e5;
            return (Reading[])
            [
                new(Signal.GasTemperature, at, 293.15 + Math.Sin(i)),
                new(Signal.FluidPressure, at, fluidPa),
                new(Signal.GasPressure, at, at < Day(3) ? fluidPa : 2e5 + (1e4 * Math.Sin(i))),
            ];
        });
        AlarmChange first = Follow(vessel, readings, (_, _) => { }).First();
        Assert.Equal((AlarmKind.DataFault, AlarmEvent.ConditionOn), (first.Kind, first.What));
        Assert.True(first.At >= Day(3) && first.At <= Day(3).AddHours(1), $"{first.At:O}");
        Assert.Contains("the gas is gone and the separator on its stop", first.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void Restarts_and_looks_in_between_change_nothing_of_it()
    {
        string whole = string.Join('\n', Follow(Bench.Vessel(), CutLoop, (_, _) => { }));
        Assert.NotEmpty(whole);
        var random = new Random(5);
        Assert.Equal(whole, string.Join('\n', Follow(Bench.Vessel(), CutLoop, (restart, _) => restart(random.Next(3) == 0))));
        Assert.Equal(whole, string.Join('\n', Follow(Bench.Vessel(), CutLoop, (_, follower) =>
            follower.AdvanceTo(follower.LastReading.AddMinutes(random.Next(10))))));
    }

    private static DateTimeOffset Day(double day) => Bench.Start.AddDays(day);

    private static List<AlarmChange> Follow(Vessel vessel, IEnumerable<Reading> readings, Action<Action<bool>, VesselFollower> between)
    {
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        SortedDictionary<DateTimeOffset, PrechargeWindow> windows = [];
        List<AlarmChange> told = [];
        foreach (Reading reading in readings)
        {
            follower.Accept(reading);
            between(Restart, follower);
        }

        Keep();
        return told;

        void Restart(bool now)
        {
            if (now)
            {
                Keep();
                follower = new VesselFollower(
                    vessel, FollowerState.FromStored(follower.State.ToStored())!,
                    [.. windows.Values.Where(window => window.Standing == WindowStanding.Accepted)], AlarmHandling.Usual);
            }
        }

        void Keep()
        {
            foreach (PrechargeWindow window in follower.TakeChangedWindows())
            {
                windows[window.Start] = window;
            }

            told.AddRange(follower.TakeAlarmChanges());
        }
    }
}
