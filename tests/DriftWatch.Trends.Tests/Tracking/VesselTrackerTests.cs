using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Tracking;

public class VesselTrackerTests
{
    /// <summary>Two-shift days: work from 6 to 16 hours after midnight, rest until the next morning.</summary>
    private static IEnumerable<Reading> Days(int from, int count, Func<double, double> prechargeBar, Func<double, bool>? stuck = null) =>
        Enumerable.Range(from, count).SelectMany(day => Rest.Readings([
            .. Rest.Work(24 * day, 10),
            .. Rest.Samples((24 * day) + 10.2, 13.5, hour => prechargeBar(day + (hour / 24)), hour => 20 + (4 * Math.Sin(day + (hour / 5)))),
        ]).Select(reading => reading.Signal == Signal.GasTemperature && stuck?.Invoke((reading.Instant - Make.Start).TotalDays) == true ? reading with { Value = 294 } : reading));

    [Fact]
    public void A_tight_vessel_is_within_limits_after_a_few_weeks()
    {
        VesselTracker tracker = Track(Days(0, 40, _ => 100));
        Assessment now = tracker.Assess(Make.Start.AddDays(40));
        Assert.Equal(Verdict.WithinLimits, now.Verdict);
        Assert.Equal(100e5, now.PrechargePa!.Value, 0.05e5);
        Assert.DoesNotContain("-0.0", now.Reason, StringComparison.Ordinal);
        Assert.Contains("0.000", now.Reason, StringComparison.Ordinal);
    }

    /// <summary>Three times the allowed bar a month.</summary>
    [Fact]
    public void A_leak_beyond_the_allowed_rate_is_called_with_its_rate()
    {
        VesselTracker tracker = Track(Days(0, 60, day => 105 - (3 * day / 30.4375)));
        Assessment now = tracker.Assess(Make.Start.AddDays(60));
        Assert.Equal(Verdict.FallingFasterThanAllowed, now.Verdict);
        Assert.Contains("3.0", now.Reason, StringComparison.Ordinal);
        Assert.Contains("above the allowed 1.00 bar/month", now.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sudden_loss_inside_the_limits_is_called_and_becomes_history_when_the_level_stays_steady()
    {
        var tracker = new VesselTracker(Make.Vessel(), [], TrackerState.Start, [], []);
        Feed(tracker, Days(0, 40, day => day < 30 ? 105 : 100));
        Assessment soon = tracker.Assess(Make.Start.AddDays(40));
        Assert.Equal(Verdict.FallingFasterThanAllowed, soon.Verdict);
        Assert.Contains("Sudden loss of 5.0 bar on 2026-02-04", soon.Reason, StringComparison.Ordinal);
        Feed(tracker, Days(40, 30, _ => 100));
        Assert.Equal(Verdict.WithinLimits, tracker.Assess(Make.Start.AddDays(70)).Verdict);
    }

    /// <summary>A standby vessel, gas side alone: one rest for 200 days, then 5 bar are gone at once.</summary>
    [Fact]
    public void A_sudden_loss_of_a_vessel_that_always_rests_is_called_within_days()
    {
        var tracker = new VesselTracker(Make.Vessel(), [], TrackerState.Start, [], []);
        Feed(tracker, Rest.Readings(Rest.Samples(
            0, 24 * 206, hour => hour < 24 * 200 ? 100 : 95, hour => 20 + (4 * Math.Sin(hour / 4)), stepMinutes: 20)));
        Assessment now = tracker.Assess(Make.Start.AddDays(206));
        Assert.Equal(Verdict.FallingFasterThanAllowed, now.Verdict);
        Assert.Contains("Sudden loss of 5.0 bar on 2026-07-2", now.Reason, StringComparison.Ordinal);
        Assert.DoesNotContain(tracker.TakeChangedWindows(), window => window.Reason.Contains("Trapped fluid", StringComparison.Ordinal));
    }

    [Fact]
    public void A_stuck_temperature_keeps_its_windows_out_and_is_named()
    {
        VesselTracker tracker = Track(Days(0, 60, _ => 100, day => day >= 20));
        Assert.All(tracker.Points, point => Assert.True(point.End < Make.Start.AddDays(20.5)));
        Assert.Contains(tracker.TakeChangedWindows(), window => window.Standing == WindowStanding.Rejected && window.Start > Make.Start.AddDays(30));
        Assessment now = tracker.Assess(Make.Start.AddDays(60));
        Assert.Equal(Verdict.NoWindowTooLong, now.Verdict);
        Assert.Contains("check the temperature sensor", now.DataFault, StringComparison.Ordinal);
    }

    [Fact]
    public void Windows_under_doubt_count_once_the_temperature_moves()
    {
        // The machine works on day 10 while the temperature stands; it stands through the night and moves the next morning.
        static double Celsius(double day) => day is >= 10.2 and < 11.2 ? 20 : 20 + Math.Sin(40 * day);
        IEnumerable<Reading> readings = Enumerable.Range(0, 14).SelectMany(day => Rest.Readings([
            .. Rest.Samples(24 * day, 10, hour => hour * 6 % 2 < 1 ? 130 : 200, hour => Celsius(day + (hour / 24))),
            .. Rest.Samples((24 * day) + 10.2, 13.5, _ => 100, hour => Celsius(day + ((10.2 + hour) / 24))),
        ]));
        IReadOnlyList<PrechargeWindow> told = Track(readings).TakeChangedWindows();
        PrechargeWindow[] story = [.. told.Where(window => window.Start > Make.Start.AddDays(10.4) && window.Start < Make.Start.AddDays(11))];
        Assert.Equal([WindowStanding.Ambiguous, WindowStanding.Accepted], story.Select(window => window.Standing));
        Assert.Contains("temperature stands still", story[0].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Silence_is_unknown_never_good()
    {
        VesselTracker tracker = Track(Days(0, 40, _ => 100));
        Assert.Equal(Verdict.WithinLimits, tracker.Assess(Make.Start.AddDays(65)).Verdict);
        Assert.Equal(Verdict.NoWindowTooLong, tracker.Assess(Make.Start.AddDays(72)).Verdict);
    }

    [Theory]
    [InlineData(88, Verdict.BelowLowerLimit)]
    [InlineData(115, Verdict.AboveUpperLimit)]
    public void Outside_a_limit_stands_even_in_silence(double bar, Verdict verdict)
    {
        var tracker = new VesselTracker(Make.Vessel(), [new GasSideWork(Make.Start.AddHours(-1), GasSideWorkKind.Charge)], TrackerState.Start, [], []);
        Feed(tracker, Days(0, 30, _ => bar));
        Assert.Equal(verdict, tracker.Assess(Make.Start.AddDays(300)).Verdict);
    }

    /// <summary>The bladder bursts; the zero of the gauge sensor lies 1.1 bar low, within its class.</summary>
    [Fact]
    public void A_burst_vessel_is_seen_though_its_sensor_shows_less_than_nothing()
    {
        VesselTracker tracker = Track(Days(0, 30, day => day < 20 ? 100 : 1).Select(reading => reading.Signal == Signal.GasPressure ? reading with { Value = reading.Value - 1.1e5 } : reading));
        Assert.Equal(Verdict.BelowLowerLimit, tracker.Assess(Make.Start.AddDays(30)).Verdict);
    }

    [Fact]
    public void Nothing_read_is_nothing_known()
    {
        var tracker = new VesselTracker(Make.Vessel(), [], TrackerState.Start, [], []);
        Assert.Null(tracker.HeardLast(Make.Start));
        Assert.Equal(Verdict.NotKnownYet, tracker.Assess(Make.Start).Verdict);
    }

    [Fact]
    public void A_charge_on_record_ends_the_segment_before_a_window_shows_the_new_level()
    {
        DateTimeOffset charge = Make.Start.AddDays(30.3);
        var tracker = new VesselTracker(Make.Vessel(), [new GasSideWork(charge, GasSideWorkKind.Charge)], TrackerState.Start, [], []);
        Feed(tracker, Days(0, 30, _ => 88));
        Assert.Equal(Verdict.BelowLowerLimit, tracker.Assess(charge.AddHours(-1)).Verdict);
        Assert.Equal(Verdict.NotKnownYet, tracker.Assess(charge.AddHours(1)).Verdict);
        Assert.Equal(charge, tracker.HeardLast(charge.AddHours(1)));
    }

    [Fact]
    public void A_new_transducer_that_reads_lower_is_no_loss_and_its_windows_are_not_held_against_those_before()
    {
        DateTimeOffset change = Make.Start.AddDays(30.3);
        IEnumerable<Reading> readings = Days(0, 30, _ => 100).Concat(Days(31, 12, _ => 96));
        Assert.Contains("Sudden loss", Track(readings).Assess(change.AddDays(13)).Reason, StringComparison.Ordinal);

        var tracker = new VesselTracker(Make.Vessel(), [new GasSideWork(change, GasSideWorkKind.TransducerChange)], TrackerState.Start, [], []);
        Feed(tracker, readings.Where(reading => reading.Instant < change));
        Assessment before = tracker.Assess(change.AddHours(-1));
        Assert.Equal(Verdict.NotKnownYet, tracker.Assess(change.AddHours(1)).Verdict);

        // Silence is not broken by it: nobody has seen the precharge.
        Assert.Equal(before.HeardLast, tracker.HeardLast(change.AddHours(1)));

        Feed(tracker, readings.Where(reading => reading.Instant >= change));
        Assessment after = tracker.Assess(change.AddDays(13));
        Assert.Equal(SegmentCause.RecordedTransducerChange, after.Segment!.Cause);
        Assert.Equal(96, after.PrechargePa!.Value / 1e5, 0.1);
        Assert.Null(after.StepPa);
    }

    [Fact]
    public void A_fault_of_the_old_transducer_ends_with_it()
    {
        DateTimeOffset change = Make.Start.AddDays(12);

        IEnumerable<Reading> stuck = Days(0, 10, _ => 100, _ => true);
        IEnumerable<Reading> sound = Days(13, 1, _ => 100).Where(reading => reading.Signal == Signal.GasPressure);
        var tracker = new VesselTracker(Make.Vessel(), [new GasSideWork(change, GasSideWorkKind.TransducerChange)], TrackerState.Start, [], []);
        Feed(tracker, stuck);
        Assert.Contains(tracker.Faults, fault => fault.Kind == FaultKind.Stuck);
        Feed(tracker, sound);
        Assert.DoesNotContain(tracker.Faults, fault => fault.Kind == FaultKind.Stuck);
    }

    private static VesselTracker Track(IEnumerable<Reading> readings)
    {
        var tracker = new VesselTracker(Make.Vessel(), [], TrackerState.Start, [], []);
        Feed(tracker, readings);
        return tracker;
    }

    private static void Feed(VesselTracker tracker, IEnumerable<Reading> readings)
    {
        foreach (Reading reading in readings.Order())
        {
            tracker.Accept(reading);
        }
    }
}
