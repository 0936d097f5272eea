using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Rounds;

/// <summary>Which checks are due, and why.</summary>
public sealed class RoundPlannerTests
{
    private static readonly DateTimeOffset Now = Bench.Start.AddDays(400);

    [Fact]
    public void A_vessel_that_was_never_seen_is_due_at_once()
    {
        RoundStop stop = RoundPlanner.Of(Bench.Vessel(), [], null, [], Now);
        Assert.Equal((Now, DueReason.NeverSeen), (stop.Due, stop.Reason));
    }

    [Fact]
    public void The_ladder_goes_by_checks_by_hand()
    {
        // Common practice: a week after charging, then four months, then six; days 0, 8, 8 + 4 months.
        DateTimeOffset second = Bench.Start.AddDays(8).AddMonths(4).AddDays(1);
        Assert.Equal(Bench.Start.AddDays(7), Due(Bench.Vessel(chargeDays: [0])).Due);
        Assert.Equal(Bench.Start.AddDays(8).AddMonths(4), Due(Bench.Vessel(chargeDays: [0], checks: [Bench.Check(8, 100)])).Due);
        RoundStop third = Due(Bench.Vessel(chargeDays: [0], checks: [Bench.Check(8, 100), Bench.Check((second - Bench.Start).TotalDays, 100)]));
        Assert.Equal((second.AddMonths(6), DueReason.SixMonths), (third.Due, third.Reason));

        RoundStop loss = Due(Bench.Vessel(chargeDays: [0], checks: [Bench.Check(8, 100), Bench.Check(60, 80)]));
        Assert.Equal((Bench.Start.AddDays(67), DueReason.AfterLoss), (loss.Due, loss.Reason));
        RoundStop again = Due(Bench.Vessel(chargeDays: [0, 70], checks: [Bench.Check(8, 100), Bench.Check(60, 80)]));
        Assert.Equal((Bench.Start.AddDays(77), DueReason.AfterCharge), (again.Due, again.Reason));

        static RoundStop Due(Vessel vessel) => RoundPlanner.Of(vessel, [], null, [], Now);
    }

    [Fact]
    public void A_vessel_that_nobody_charged_on_record_is_not_said_to_be_charged()
    {
        RoundStop stop = RoundPlanner.Of(Bench.Vessel(checks: [Bench.Check(3, 100)]), [], null, [], Now);
        Assert.Equal((Bench.Start.AddDays(10), DueReason.AfterFirstSeen), (stop.Due, stop.Reason));
    }

    /// <summary>Charged to 100 bar on record, a bar a month allowed: 95 or 91 bar a week later is a loss, 99.5 is none.</summary>
    [Theory]
    [InlineData(95, 15, DueReason.AfterLoss)]
    [InlineData(91, 15, DueReason.AfterLoss)]
    [InlineData(99.5, 128, DueReason.FourMonths)]
    public void A_check_is_held_against_what_the_charge_left(double bar, double dueDay, DueReason why)
    {
        // Four months from 10 February are the 10th of June, 120 days.
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(8, bar)]) with { RecordedCharges = [Bench.Check(-90, 90), Bench.Check(0, 100)] };
        RoundStop stop = RoundPlanner.Of(vessel, [], null, [], Now);
        Assert.Equal((Bench.Start.AddDays(dueDay), why), (stop.Due, stop.Reason));
    }

    /// <summary>The charge by another gauge says 100 bar, the transducer 98 and, after it was replaced, 96.5: neither is a loss. A fall of its own is.</summary>
    [Fact]
    public void Windows_are_held_against_the_first_one_of_their_transducer()
    {
        Vessel vessel = Bench.Vessel() with { RecordedCharges = [Bench.Check(0, 100)], TransducerChanges = [Bench.Start.AddDays(30.5)] };
        PrechargeWindow[] windows = [.. Enumerable.Range(1, 60).Select(day => Window(day, day <= 30 ? 98 : 96.5))];
        Assert.Equal(DueReason.FourMonths, RoundPlanner.Of(vessel, windows, null, [], Now).Reason);

        RoundStop stop = RoundPlanner.Of(vessel, [.. windows, Window(70, 93)], null, [], Now);
        Assert.Equal((Bench.Start.AddDays(77).AddHours(2), DueReason.AfterLoss), (stop.Due, stop.Reason));
    }

    /// <summary>The sensor lags while the gas settles: the means of a window lie 0.4 bar above what it shows of the precharge, which is below the limit.</summary>
    [Fact]
    public void A_window_counts_with_the_precharge_of_the_trend()
    {
        Vessel vessel = Bench.Vessel(chargeDays: [0]);
        PrechargeWindow window = Window(10, 89.7);
        RoundStop stop = RoundPlanner.Of(vessel, [window with { MeanPressurePa = window.PrechargePa + 0.42e5 }], null, [], Now);
        Assert.Equal((window.End.AddDays(7), DueReason.AfterLoss), (stop.Due, stop.Reason));
    }

    [Fact]
    public void A_place_on_the_ladder_holds_until_something_that_is_dated_later_begins_to_count()
    {
        Vessel vessel = Bench.Vessel(chargeDays: [0, 200], checks: [Bench.Check(8, 100), Bench.Check(150, 100)]);
        List<PrechargeWindow> windows = [.. Enumerable.Range(30, 90).Select(day => Window(day * 3, 100))];
        DateTimeOffset[] moments = [.. Enumerable.Range(0, 600).Select(halfDay => Bench.Start.AddDays(halfDay / 2.0))];
        Assessment assessment = Bench.Day(390, Verdict.WithinLimits);
        LadderPlace known = RoundPlanner.Climb(vessel, windows, trusted: true, moments[0]);
        int found = 1;
        foreach (DateTimeOffset asOf in moments)
        {
            if (!known.HoldsAt(asOf))
            {
                known = RoundPlanner.Climb(vessel, windows, trusted: true, asOf);
                found++;
            }

            Assert.Equal(RoundPlanner.Of(vessel, windows, assessment, [], asOf), RoundPlanner.Of(vessel, known, assessment, [], asOf));
        }

        // One charge, two checks and the windows that end before the last moment: each is found once, when its time has come.
        Assert.Equal(1 + 1 + 2 + windows.Count(window => window.End <= moments[^1]), found);
        Assert.False(known.HoldsAt(moments[0]));
    }

    [Fact]
    public void Windows_count_while_the_transducer_is_trusted_and_only_then()
    {
        Vessel vessel = Bench.Vessel(chargeDays: [0]);
        List<PrechargeWindow> windows = [.. Enumerable.Range(1, 390).Select(day => Window(day, 100))];
        RoundStop trusted = RoundPlanner.Of(vessel, windows, Bench.Day(390, Verdict.WithinLimits), [], Now);
        Assert.True(trusted.Due > Now);
        Assert.Equal(DueReason.SixMonths, trusted.Reason);
        Assert.Equal(windows[^1].End, trusted.Online);

        RoundStop drifting = RoundPlanner.Of(vessel, windows, Bench.Day(390, Verdict.WithinLimits) with { Drift = Drifting }, [], Now);
        Assert.Equal(Bench.Start.AddDays(7), drifting.Due);
        Assert.Null(drifting.Online);
        Assessment faulty = Bench.Day(390, Verdict.WithinLimits) with
        {
            Faults = new SensorFaults([new SensorFault(Signal.GasPressure, Ne107Status.Failure, FaultKind.Stuck, Now, "stands still")]),
        };
        Assert.Equal(Bench.Start.AddDays(7), RoundPlanner.Of(vessel, windows, faulty, [], Now).Due);

        // With nothing on record by hand its windows are all there is. They were seen, and do not count: that is another thing than 'never seen'.
        Assert.Equal(DueReason.NotTrusted, RoundPlanner.Of(Bench.Vessel(), windows, faulty, [], Now).Reason);
        Assert.Equal(DueReason.NeverSeen, RoundPlanner.Of(Bench.Vessel(), [], faulty with { LastWindow = null }, [], Now).Reason);
    }

    /// <summary>No window alone finds a loss, so each climbs the ladder; the trend knows better.</summary>
    [Fact]
    public void A_loss_that_only_the_trend_shows_is_due_once_nobody_was_there_for_a_week()
    {
        List<PrechargeWindow> windows = [.. Enumerable.Range(1, 390).Select(day => Window(day, 100))];
        Assessment losing = Bench.Day(391, Verdict.FallingFasterThanAllowed);
        RoundStop stop = RoundPlanner.Of(Bench.Vessel(chargeDays: [0]), windows, losing, [], Now);
        Assert.Equal((losing.LastWindow!.Value, DueReason.LossInTrend), (stop.Due, stop.Reason));

        RoundStop looked = RoundPlanner.Of(Bench.Vessel(chargeDays: [0], checks: [Bench.Check(388, 100)]), windows, losing, [], Now);
        Assert.Equal((Bench.Start.AddDays(395), DueReason.LossInTrend), (looked.Due, looked.Reason));
    }

    /// <summary>Each new window would put the date off; the job was raised once. A week after a check by hand it is due again.</summary>
    [Theory]
    [InlineData(JobCause.FallingFasterThanAllowed)]
    [InlineData(JobCause.BelowLowerLimit)]
    public void A_loss_in_the_trend_is_due_since_its_job_was_raised(JobCause cause)
    {
        StandingCause[] standing = [new(JobCause.NoWindowTooLong, Bench.Start.AddDays(300)), new(cause, Bench.Start.AddDays(350))];
        List<PrechargeWindow> windows = [.. Enumerable.Range(1, 390).Select(day => Window(day, 100))];
        foreach (double day in (double[])[360, 391])
        {
            RoundStop stop = RoundPlanner.Of(
                Bench.Vessel(chargeDays: [0]), windows, Bench.Day(day, Verdict.FallingFasterThanAllowed), standing, Now);
            Assert.Equal((Bench.Start.AddDays(350), DueReason.LossInTrend), (stop.Due, stop.Reason));
        }

        RoundStop looked = RoundPlanner.Of(
            Bench.Vessel(chargeDays: [0], checks: [Bench.Check(352, 100)]), windows, Bench.Day(391, Verdict.FallingFasterThanAllowed), standing, Now);
        Assert.Equal((Bench.Start.AddDays(359), DueReason.LossInTrend), (looked.Due, looked.Reason));
    }

    /// <summary>A charge begins the evidence of the drift anew and mends no transducer.</summary>
    [Fact]
    public void Windows_do_not_count_while_the_job_for_their_transducer_stands()
    {
        List<PrechargeWindow> windows = [.. Enumerable.Range(1, 390).Select(day => Window(day, 100))];
        Assessment charged = Bench.Day(390, Verdict.WithinLimits, segment: 1, cause: SegmentCause.RecordedCharge);
        RoundStop stop = RoundPlanner.Of(
            Bench.Vessel(chargeDays: [0]), windows, charged, [new StandingCause(JobCause.TransducerDrift, Bench.Start.AddDays(-5))], Now);
        Assert.Equal((Bench.Start.AddDays(7), DueReason.AfterCharge), (stop.Due, stop.Reason));
        Assert.Null(stop.Online);

        // What such a transducer says of a loss does not count either.
        RoundStop losing = RoundPlanner.Of(
            Bench.Vessel(chargeDays: [0], checks: [Bench.Check(8, 100)]), windows, Bench.Day(390, Verdict.FallingFasterThanAllowed),
            [new StandingCause(JobCause.TransducerDrift, Bench.Start.AddDays(-5)), new StandingCause(JobCause.FallingFasterThanAllowed, Bench.Start.AddDays(9))], Now);
        Assert.Equal(DueReason.FourMonths, losing.Reason);
    }

    /// <summary>No charge is on record; the transducer shows 98 bar. By hand 95.5 bar is another instrument, and 93 bar a month later a loss.</summary>
    [Theory]
    [InlineData(95.5, DueReason.FourMonths)]
    [InlineData(93, DueReason.AfterLoss)]
    public void Without_a_charge_on_record_a_check_is_held_against_the_first_one_by_hand(double bar, DueReason why)
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(20, 95.5), Bench.Check(50, bar)]);
        PrechargeWindow[] windows = [.. Enumerable.Range(1, 55).Select(day => Window(day, 98))];
        Assert.Equal(why, RoundPlanner.Of(vessel, windows, null, [], Now).Reason);
    }

    [Fact]
    public void A_vessel_that_sends_without_ever_resting_is_due_since_it_was_heard_first()
    {
        Assessment heard = Bench.Day(400, Verdict.NotKnownYet) with { HeardLast = Bench.Start.AddDays(3) };
        RoundStop stop = RoundPlanner.Of(Bench.Vessel(), [], heard, [], Now);
        Assert.Equal((Bench.Start.AddDays(3), DueReason.NeverSeen), (stop.Due, stop.Reason));
    }

    [Fact]
    public void A_silent_vessel_is_due_when_its_silence_became_too_long()
    {
        Vessel vessel = Bench.Vessel(chargeDays: [0]);
        List<PrechargeWindow> windows = [.. Enumerable.Range(1, 200).Select(day => Window(day, 100))];
        RoundStop stop = RoundPlanner.Of(vessel, windows, Bench.Day(400, Verdict.NoWindowTooLong, windowDay: 200), [], Now);
        Assert.Equal(DueReason.Silent, stop.Reason);
        Assert.Equal(windows[^1].End + vessel.Specification.LongestSilence, stop.Due);
    }

    [Fact]
    public void The_route_goes_place_by_place_the_most_overdue_first()
    {
        RoundStop[] stops = [Stop("B", "yard", 3), Stop("A", "yard", 3), Stop("C", "hall", 9), Stop("D", "yard", 1), Stop("E", "hall", 99)];
        IReadOnlyList<(string Place, IReadOnlyList<RoundStop> Stops)> route = RoundPlanner.Route(stops, Bench.Start.AddDays(10));
        Assert.Equal(["hall", "yard"], route.Select(place => place.Place));
        Assert.Equal(["C", "D", "A", "B"], route.SelectMany(place => place.Stops).Select(stop => stop.Vessel.Id));

        static RoundStop Stop(string id, string place, double day) =>
            new(Bench.Vessel() with { Id = id, Place = place }, Bench.Start.AddDays(day), DueReason.AfterCharge, null, null);
    }

    [Fact]
    public void A_drifting_transducer_is_told_from_a_leak_by_the_checks()
    {
        // Over 20 months the transducer falls by 1 bar a month, the allowed loss; by hand it stays at 100 bar, or falls alike.
        List<PrechargeWindow> windows = [.. Enumerable.Range(0, 600).Select(day => Window(day, 100 - (day / 30.4375)))];
        double[] days = [8, 130, 310, 490, 590];
        TransducerDrift drift = Drift([.. days.Select(day => Bench.Check(day, 100) with { GaugeId = "G-1" })], windows)!;
        Assert.True(drift.IsDrifting);
        Assert.InRange(drift.RatePaPerSecond * LossRate.SecondsPerMonth / 1e5, -1.3, -0.7);
        TransducerDrift leak = Drift([.. days.Select(day => Bench.Check(day, 100 - (day / 30.4375)) with { GaugeId = "G-1" })], windows)!;
        Assert.False(leak.IsDrifting);
        Assert.Equal(5, leak.Count);

        // A gauge that is not on record tells less: it may be another one each time.
        Assert.True(Drift([.. days.Select(day => Bench.Check(day, 100))], windows)!.Evidence < drift.Evidence);
    }

    [Fact]
    public void Only_a_window_within_a_week_is_compared_and_a_check_without_values_is_not()
    {
        List<PrechargeWindow> windows = [Window(10, 99), Window(20, 100)];
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(1, 100), Bench.Check(12), Bench.Check(18, 100.5), Bench.Check(40, 100)]);
        TransducerComparison only = Assert.Single(HandAgainstTransducer.Compare(
            vessel.Specification, HandReading.Of(vessel, HandInstruments.Common), windows, First, Now));
        Assert.Equal(vessel.RecordedChecks[2].At, only.At);
        Assert.Equal(-0.5e5, only.DifferencePa, 1e2);
    }

    /// <summary>Checked on day 9, when the stretch begins on day 10 and on day 11; its first window comes on day 12.</summary>
    [Theory]
    [InlineData(SegmentCause.FirstWindow, 9)]
    [InlineData(SegmentCause.SuddenLoss, 10)]
    [InlineData(SegmentCause.UnrecordedCharge, 10)]
    [InlineData(SegmentCause.RecordedTransducerChange, 10)]
    [InlineData(SegmentCause.RecordedCharge, 11)]
    public void A_check_from_before_the_stretch_of_the_windows_is_not_compared_with_them(SegmentCause cause, int firstDay)
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(9, 100), Bench.Check(10, 70), Bench.Check(11, 70)]);
        IReadOnlyList<TransducerComparison> compared = HandAgainstTransducer.Compare(
            vessel.Specification, HandReading.Of(vessel, HandInstruments.Common), [Window(12, 70)], new TrendSegment(3, Bench.Start.AddDays(10), cause), Now);
        Assert.Equal(Enumerable.Range(firstDay, 12 - firstDay).Select(day => Bench.Start.AddDays(day)), compared.Select(comparison => comparison.At));
    }

    private static TrendSegment First { get; } = new(0, Bench.Start, SegmentCause.FirstWindow);

    private static TransducerDrift Drifting { get; } = new(2, -1, 0.1, Now, -9e5, 1e5, Now, 9, 4.6);

    private static TransducerDrift? Drift(PrechargeCheck[] checks, IReadOnlyList<PrechargeWindow> windows)
    {
        Vessel vessel = Bench.Vessel(checks: checks);
        return HandAgainstTransducer.Drift(
            vessel.Specification, HandReading.Of(vessel, HandInstruments.Common), windows, First, Bench.Start, Bench.Start.AddDays(600));
    }

    private static PrechargeWindow Window(double day, double barGauge) => new()
    {
        Start = Bench.Start.AddDays(day),
        End = Bench.Start.AddDays(day).AddHours(2),
        ReadingCount = 120,
        Evidence = WindowEvidence.FluidPressure,
        MeanPressurePa = GaugePressure.FromBar(barGauge).ToAbsolute(Bench.Ambient).Pascals,
        MeanTemperatureK = 293.15,
        PrechargePa = GaugePressure.FromBar(barGauge).ToAbsolute(Bench.Ambient).Pascals,
        RandomUncertaintyPa = 0.2e5,
        SharedUncertaintyPa = 0.2e5,
        IsochoreSlopePaPerK = 0,
        Rest = (long)day,
        Standing = WindowStanding.Accepted,
        Segment = 0,
    };
}
