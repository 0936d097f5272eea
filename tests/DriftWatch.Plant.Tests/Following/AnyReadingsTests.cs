using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>Whatever a vessel's sensors send, following it never ends in an exception: one that threw would be blind for good.</summary>
public sealed class AnyReadingsTests(ITestOutputHelper output)
{
    private const int Scenes = 400;
    private const int CutScenes = 100;

    /// <summary>Scenes of rests and work drawn at random, with spikes, steps of a second, standing values, both ends of the ranges.</summary>
    [Theory]
    [InlineData(PressureKind.Gauge, 250)]
    [InlineData(PressureKind.Absolute, 250)]
    [InlineData(PressureKind.Gauge, 1000)]
    public void Nothing_that_sensors_send_makes_it_throw(PressureKind kind, int rangeBar)
    {
        int windows = 0, rejected = 0;
        for (int seed = 0; seed < Scenes; seed++)
        {
            var random = new Random(seed);
            VesselFollower follower = new(VesselWith(kind, rangeBar, random), FollowerState.Start, [], AlarmHandling.Usual);
            List<Reading> readings = [.. Scene(random, rangeBar)];
            try
            {
                foreach (Reading reading in readings)
                {
                    follower.Accept(reading);
                }

                follower.AdvanceTo(readings[^1].Instant.AddDays(100));
                _ = follower.Assess(readings[^1].Instant.AddDays(100));
            }
            catch (Exception exception)
            {
                Assert.Fail($"Seed {seed}, {kind}, {rangeBar} bar: {exception}");
            }

            IReadOnlyList<PrechargeWindow> shown = follower.TakeChangedWindows();
            windows += shown.Count;
            rejected += shown.Count(window => window.Standing == WindowStanding.Rejected);
            Assert.All(shown, window => Assert.True(
                window.Standing == WindowStanding.Rejected || window.PrechargePa is > 0 and < 700e5, $"Seed {seed}: {window}"));
        }

        output.WriteLine($"{kind}, {rangeBar} bar, seeds 0 to {Scenes - 1}: {windows} windows, {rejected} of them rejected");
        Assert.True(windows - rejected > Scenes, "Scenes that show no windows try nothing.");
    }

    /// <summary>Stopped and started again from what is stored, again and again, the same windows and the same assessment come out.</summary>
    [Fact]
    public void Cut_anywhere_whatever_sensors_send_tells_the_same()
    {
        int suspected = 0, stray = 0;
        for (int seed = 0; seed < CutScenes; seed++)
        {
            var random = new Random(seed);
            Vessel vessel = VesselWith(PressureKind.Gauge, 250, random);
            List<Reading> readings = [.. Scene(random, 250)];
            (string whole, FollowerState end) = Windows(vessel, readings, _ => false);
            suspected += end.Tracker.Faults!.Unit.Factor != 0 || end.Tracker.Faults.Unit.Apart != 0 || end.Tracker.Faults.Unit.AirSteps != 0 ? 1 : 0;
            stray += end.Tracker.Stray is null ? 0 : 1;
            var cuts = new Random(seed + Scenes);
            (string cut, _) = Windows(vessel, readings, _ => cuts.Next(60) == 0);
            (string One, string Other) difference = whole.Split('\n').Zip(cut.Split('\n')).FirstOrDefault(pair => pair.First != pair.Second);
            Assert.True(whole == cut, $"Seed {seed}: cut and whole differ:\n{difference.One}\n{difference.Other}");
        }

        output.WriteLine($"seeds 0 to {CutScenes - 1}: {suspected} end with something of units in mind, {stray} with stray readings");
        Assert.True(suspected > 3 && stray > 3, "Scenes without units and clocks try nothing.");
    }

    private static (string Told, FollowerState End) Windows(Vessel vessel, List<Reading> readings, Func<Reading, bool> cutBefore)
    {
        VesselFollower follower = new(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        SortedDictionary<DateTimeOffset, PrechargeWindow> windows = [];
        foreach (Reading reading in readings)
        {
            if (cutBefore(reading))
            {
                Keep();
                FollowerState state = FollowerState.FromStored(follower.State.ToStored())!;
                HashSet<DateTimeOffset> undecided = [.. state.Tracker.Segments.Pending.Concat(state.Tracker.Held).Select(window => window.Start)];
                follower = new VesselFollower(vessel, state, windows.Values.Where(window =>
                    window.Standing == WindowStanding.Accepted && window.Start <= state.Tracker.SettledUpTo && !undecided.Contains(window.Start)), AlarmHandling.Usual);
            }

            follower.Accept(reading);
        }

        Keep();
        Assessment now = follower.Assess(readings[^1].Instant);
        return ($"{string.Join('\n', windows.Values)}\n{now.Verdict} {now.Reason} {now.DataFault} {now.PrechargePa:R}", follower.State);

        void Keep()
        {
            foreach (PrechargeWindow window in follower.TakeChangedWindows())
            {
                windows[window.Start] = window;
            }
        }
    }

    private static Vessel VesselWith(PressureKind kind, int rangeBar, Random random)
    {
        Vessel bench = Bench.Vessel(chargeDays: random.Next(3) == 0 ? [random.Next(30)] : null);
        return bench with
        {
            Specification = bench.Specification with
            {
                GasPressureSensor = new PressureSensor(kind, 0, rangeBar * 1e5, 0.2e5),
                FluidPressureSensor = random.Next(2) == 0 ? new PressureSensor(PressureKind.Gauge, 0, rangeBar * 1e5, 0.2e5) : null,
                HasDepressurisedContact = random.Next(2) == 0,
                LowestWorkingPressure = random.Next(4) == 0 ? null : bench.Specification.LowestWorkingPressure,
            },
        };
    }

    private static IEnumerable<Reading> Scene(Random random, int rangeBar)
    {
        DateTimeOffset now = Bench.Start;
        double[] steps = [0.001, 1, 1, 10, 60, 60, 300, 3600, 86400];
        int parts = random.Next(10, 60);
        double level = random.Next(5) switch { 0 => 0, 1 => rangeBar, 2 => 1, _ => 100 };
        double slow = random.Next(3) * random.NextDouble();
        double unit = 1, air = 0;
        for (int part = 0; part < parts; part++)
        {
            bool rest = random.Next(3) > 0;
            double step = steps[random.Next(steps.Length)];
            int count = random.Next(1, 40);
            double celsius = (random.NextDouble() * 200) - 60, drift = random.Next(3) switch { 0 => 0, 1 => random.NextDouble() - 0.5, _ => 5 * random.NextDouble() };
            double noiseK = random.Next(4) switch { 0 => 0, 1 => 0.05, 2 => 2, _ => 30 };
            double noiseBar = random.Next(4) switch { 0 => 0, 1 => 0.05, 2 => 3, _ => rangeBar / 2.0 };
            double spike = random.Next(3) == 0 ? 0.1 : 0;
            if (random.Next(3) > 0)
            {
                celsius = 20;
            }

            if (random.Next(10) == 0)
            {
                double[] units = [1, 0.1, 1 / 14.5038, 10];
                unit = units[random.Next(units.Length)];
                air = random.Next(3) - 1;
            }

            level = Math.Max(0, level - slow);
            for (int i = 0; i < count; i++)
            {
                celsius += drift;
                double kelvins = 273.15 + celsius + (noiseK * ((2 * random.NextDouble()) - 1));
                double bar = (rest ? level : 150) + (noiseBar * ((2 * random.NextDouble()) - 1));
                if (random.NextDouble() < spike)
                {
                    (kelvins, bar) = random.Next(4) switch
                    {
                        0 => (1e9, bar),
                        1 => (kelvins, -1.3),
                        2 => (398.15, rangeBar),
                        _ => (233.15, random.Next(2) == 0 ? 0 : -1),
                    };
                }

                // In the order of the signals, as a store gives them.
                yield return new Reading(Signal.GasTemperature, now, kelvins);
                yield return new Reading(Signal.FluidPressure, now, rest ? 0 : 150e5);
                yield return new Reading(Signal.Depressurised, now, rest ? 1 : 0);
                yield return new Reading(Signal.GasPressure, now, (unit * bar * 1e5) + (air * 1e5));
                now = now.AddSeconds(step);
            }

            if (part == 2 && random.Next(5) == 0)
            {
                now = now.AddDays(500); // As after a clock that was not set.
            }

            now = now.AddSeconds(random.Next(4) == 0 ? 86400 * random.NextDouble() * 40 : 300);
        }
    }
}
