using System.Text.Json;
using CsCheck;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tests;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Following;

public class VesselFollowerTests(ITestOutputHelper output)
{
    /// <summary>
    /// Stopped and started again anywhere, the same windows, notices and final state come out bit for bit: trapped fluid,
    /// recorded and unrecorded charges, a burst, a stuck temperature, a gap, contact and fluid-side evidence among them.
    /// </summary>
    [Theory]
    [InlineData("PR1-A2")]
    [InlineData("SH1-A1")]
    [InlineData("SH1-A2")]
    [InlineData("HY1-A1")]
    [InlineData("HY1-A2")]
    [InlineData("HY2-A1")]
    [InlineData("YD1-A2")]
    [InlineData("EM1-A1")]
    public void Cut_anywhere_it_tells_the_same(string id)
    {
        IReadOnlyList<Reading> readings = SampleVessel.Of(id).Readings;
        string whole = Follow.Whole(id).Everything;
        int greatest = 0;
        Gen.Int[0, readings.Count - 1].HashSet[40, 100].Sample(
            cuts =>
            {
                var follow = new Follow(SampleVessel.Of(id));
                for (int i = 0; i < readings.Count; i++)
                {
                    if (cuts.Contains(i))
                    {
                        follow.Restart();
                    }

                    follow.Accept(readings[i]);
                }

                follow.Keep();
                greatest = Math.Max(greatest, follow.GreatestState);
                return follow.Everything == whole;
            },
            iter: 1,
            threads: 1);
        output.WriteLine($"{id}: greatest state {greatest} bytes");
        Assert.InRange(greatest, 1, 16 * 1024);
    }

    /// <summary>
    /// The fullest state: 8 windows that wait, 4 held back, 64 blocks of a rest, a job of every cause for a vessel with the longest words, every
    /// alarm; every figure with all its digits and no two alike, so that there is nothing for the compression to find but the form.
    /// </summary>
    [Fact]
    public void The_fullest_state_takes_less_than_16_KiB()
    {
        Follow follow = Follow.Whole("PR2-A1");
        TrackerState tracker = follow.Follower.State.Tracker;
        var random = new Random(4);
        double Figure(double most) => most * random.NextDouble();
        DateTimeOffset At() => Bench.Start.AddTicks(random.NextInt64(1L << 50));
        string Words(int length) => new([.. Enumerable.Range(0, length).Select(_ => (char)random.Next(' ' + 1, '~'))]);
        PrechargeWindow[] windows = [.. follow.Accepted.Take(12).Select(window => window with
        {
            Standing = WindowStanding.Ambiguous,
            Reason = FormattableString.Invariant($"{Figure(99):0.00} bar above the expected precharge: trapped fluid or an unrecorded charge. Later rests will tell."),
            Start = At(),
            End = At(),
            MeanPressurePa = Figure(1e7),
            MeanTemperatureK = Figure(300),
            PrechargePa = Figure(1e7),
            RandomUncertaintyPa = Figure(1e4),
            SharedUncertaintyPa = Figure(1e4),
            IsochoreSlopePaPerK = Figure(1) - 0.5,
            Rest = random.NextInt64(),
            Shares = JsonSerializer.Deserialize<UncertaintyShares>($"[{string.Join(',', Enumerable.Range(0, 9).Select(_ => random.Next(1000)))}]")!,
        })];
        RestBlock[] blocks = [.. Enumerable.Range(0, 64).Select(i => new RestBlock(random.Next(), At(), At(), Figure(1e10), Figure(1e5), Figure(1e10)))];
        SignalWatchState Watch() => new(
            At(), Figure(1e7), random.Next(), At(), Figure(1e7), Figure(1e7), LoopState.Saturated, random.Next(), At(), Figure(1e4), Figure(1e4), Figure(9), random.Next(), At());
        Vessel vessel = new(Words(RegisterReader.LongestText), Words(RegisterReader.LongestText), Words(RegisterReader.LongestText), follow.Vessel.Specification, [], []);
        Assessment Now(int k) => follow.Follower.Assess(follow.Follower.Instant.AddTicks(k)) with
        {
            Reason = $"Loss {Figure(9)} bar/month. {Words(200)}",
            DataFault = Words(300),
            PrechargePa = 50e5 + Figure(1e5),
        };
        StandingJob[] jobs = [.. Enum.GetValues<JobCause>().Select((cause, k) => new StandingJob(JobWriter.Write(vessel, cause, Now(k)), random.Next(), At()))];
        AlarmCondition[] alarms = [.. Enum.GetValues<AlarmKind>().Select(kind => new AlarmCondition(kind, true, At(), Priority.High, Words(200), false))];
        var full = new FollowerState(
            follow.Follower.State.Version,
            tracker with
            {
                Held = windows[..4],
                Finder = tracker.Finder with { Run = new RestRun(random.NextInt64(), WindowEvidence.RestingPlateau, 1 << 10, Math.PI * 1e7, blocks) },
                Segments = tracker.Segments with { Pending = windows[4..12], Scatter = Figure(3), PreviousLevelPa = Figure(1e7), LastRevocation = At() },
                Sunk = new SunkRest(random.NextInt64(), At()),
                Thermal = new ThermalMemory([.. Enumerable.Range(0, 15).Select(_ => Figure(9999))], [.. Enumerable.Range(0, 15).Select(_ => Figure(999))]),
                Faults = new FaultState(
                    Watch(), Watch(), Watch(),
                    new UnitWatchState(
                        Figure(1e7), Figure(1e7), random.Next(), random.Next(), Figure(9), At(), Figure(99), Figure(1e7), At(), false, random.Next(), Figure(1e5), Figure(1e7), At()),
                    Figure(1e5), random.Next(), random.Next(), At(), random.Next(), random.Next(), At(), At()),
            },
            new LedgerState(jobs),
            new AlarmConditions(alarms),
            At(),
            At());
        byte[] stored = full.ToStored();
        output.WriteLine($"{stored.Length} bytes, {full.ToJson().Length} as JSON");
        Assert.InRange(stored.Length, 1, 16 * 1024);
        Assert.Equal(full.ToJson(), FollowerState.FromStored(stored)!.ToJson());
    }

    [Fact]
    public void The_same_reading_twice_changes_nothing()
    {
        IReadOnlyList<Reading> readings = SampleVessel.Of("HY1-A1").Readings;
        var follow = new Follow(SampleVessel.Of("HY1-A1"));
        foreach (Reading reading in readings)
        {
            follow.Accept(reading);
            follow.Accept(reading);
        }

        follow.Keep();
        Assert.Equal(Follow.Whole("HY1-A1").Everything, follow.Everything);
    }

    [Fact]
    public void An_older_reading_is_refused_and_changes_nothing()
    {
        IReadOnlyList<Reading> readings = SampleVessel.Of("HY1-A1").Readings;
        var follow = new Follow(SampleVessel.Of("HY1-A1"));
        foreach (Reading reading in readings.Take(5000))
        {
            follow.Accept(reading);
        }

        follow.Keep();
        string before = follow.Everything;
        string message = Assert.Throws<InvalidOperationException>(() => follow.Accept(readings[4990])).Message;
        Assert.Contains("go on from a state before it", message, StringComparison.Ordinal);
        follow.Keep();
        Assert.Equal(before, follow.Everything);
    }

    /// <summary>
    /// Going back to an earlier state, the store already knows what became of windows that waited then (here the first two of
    /// three that proved a charge nobody recorded): they are decided anew and count once.
    /// </summary>
    [Fact]
    public void Gone_back_to_an_earlier_state_it_tells_the_same()
    {
        SampleVessel sample = SampleVessel.Of("HY1-A1");
        Follow whole = Follow.Whole("HY1-A1");
        DateTimeOffset cut = new(2026, 3, 24, 12, 0, 0, TimeSpan.Zero);
        var early = new Follow(sample);
        foreach (Reading reading in sample.Readings.TakeWhile(reading => reading.Instant < cut))
        {
            early.Accept(reading);
        }

        FollowerState state = early.Follower.State;
        Assert.NotEmpty(state.Tracker.Segments.Pending);
        var again = new VesselFollower(whole.Vessel, state, [.. whole.Accepted.Where(window => window.End <= state.Tracker.SettledUpTo)], AlarmHandling.Usual);
        foreach (Reading reading in sample.Readings.SkipWhile(reading => reading.Instant < cut))
        {
            again.Accept(reading);
        }

        Assert.Equal(whole.Follower.State.ToJson(), again.State.ToJson());
        IEnumerable<PrechargeWindow> changed = again.TakeChangedWindows().GroupBy(window => window.Start).Select(group => group.Last());
        Assert.All(changed, window => Assert.Equal(whole.Windows.Single(other => other.Start == window.Start), window));
    }

    [Fact]
    public void A_state_of_another_version_or_form_is_not_taken()
    {
        Assert.Null(FollowerState.FromStored((FollowerState.Start with { Version = 0 }).ToStored()));
        Assert.Null(FollowerState.FromStored(FollowerState.Start.ToJson()));
    }

    [Fact]
    public void Silence_is_noticed_by_time_alone_and_once()
    {
        SampleVessel sample = SampleVessel.Of("PR1-A1");
        var follow = new Follow(sample);
        foreach (Reading reading in sample.Readings.Take(20_000))
        {
            follow.Accept(reading);
        }

        follow.Keep();
        Assert.Empty(follow.Notices);
        DateTimeOffset last = follow.Accepted.Last().End;
        follow.Follower.AdvanceTo(last.AddDays(30));
        follow.Keep();
        Assert.Empty(follow.Notices);
        follow.Follower.AdvanceTo(last.AddDays(31));
        follow.Follower.AdvanceTo(last.AddDays(100));
        follow.Keep();
        JobNotice notice = Assert.Single(follow.Notices);
        Assert.Equal(JobCause.NoWindowTooLong, notice.Job.Cause);
        Assert.Equal(last.AddDays(30).AddTicks(1), notice.At);
    }

    /// <summary>
    /// The level falls below its limit; the check by hand that ends the job is on record before its readings have come. The clock passes over
    /// the record with nothing to end, then the readings come and raise the job: it ends at the check, as in order.
    /// </summary>
    [Fact]
    public void A_record_that_the_clock_has_passed_counts_at_its_own_moment_for_readings_that_come_later()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(14.65, 95)]);
        Reading[] readings = [.. Machine.Days(0, 18, day => day < 10 ? 100 : 85)];
        DateTimeOffset held = Bench.Start.AddDays(10), looked = Bench.Start.AddDays(15.05);
        (JobNotice[] inOrder, byte[] state) = Run(looksAt: null);
        Assert.Contains(inOrder, notice => notice.End == JobEnd.Checked && notice.At == vessel.RecordedChecks[0].At);
        (JobNotice[] live, byte[] stateLive) = Run(looked);
        Assert.Equal(inOrder.Select(Told), live.Select(Told));
        Assert.Equal(state, stateLive);
        Assert.Distinct(live.Select(Told));

        (JobNotice[] Notices, byte[] State) Run(DateTimeOffset? looksAt)
        {
            var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
            foreach (Reading reading in readings)
            {
                if (reading.Instant >= held && looksAt is { } look)
                {
                    follower.AdvanceTo(look);
                    looksAt = null;
                }

                follower.Accept(reading);
            }

            return ([.. follower.TakeNotices()], follower.State.ToJson());
        }
    }

    /// <summary>The level lies below its limit when the machine falls silent; a check by hand inside the limits answers that, and is the last that is seen.</summary>
    [Fact]
    public void Silence_after_a_check_that_answered_a_level_is_noticed()
    {
        Vessel vessel = Bench.Vessel(checks: [Bench.Check(18.5, 95)]);
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in Machine.Days(0, 18, day => day < 10 ? 100 : 85))
        {
            follower.Accept(reading);
        }

        DateTimeOffset tooLong = vessel.RecordedChecks[0].At + vessel.Specification.LongestSilence;
        follower.AdvanceTo(tooLong);
        IReadOnlyList<JobNotice> told = follower.TakeNotices();
        Assert.Contains(told, notice => notice is { Job.Cause: JobCause.BelowLowerLimit, End: JobEnd.Checked });
        Assert.DoesNotContain(told, notice => notice.Job.Cause == JobCause.NoWindowTooLong);
        follower.AdvanceTo(tooLong.AddDays(1));
        JobNotice silence = Assert.Single(follower.TakeNotices());
        Assert.Equal((JobCause.NoWindowTooLong, tooLong.AddTicks(1)), (silence.Job.Cause, silence.At));
    }

    /// <summary>Where the readings are gone the windows tell: the job that the queue has goes on under its key, with the table of the nominal as it is now.</summary>
    [Fact]
    public void Taken_up_from_windows_a_told_job_keeps_its_key_and_says_what_the_register_says_now()
    {
        Vessel vessel = Bench.Vessel();
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in Machine.Days(0, 18, day => day < 10 ? 100 : 85))
        {
            follower.Accept(reading);
        }

        PrechargeWindow[] windows =
        [
            .. follower.TakeChangedWindows().GroupBy(window => window.Start).Select(same => same.Last()).OrderBy(window => window.Start),
        ];
        Job told = Assert.Single(follower.State.Ledger.Standing).Job with
        {
            Key = "T1/BelowLowerLimit/told",
            Revision = 4,
            Raised = Bench.Start.AddDays(11),
            Taken = new JobMark("M. Fitter", Bench.Start.AddDays(12)),
        };
        vessel = vessel with { Specification = vessel.Specification with { NominalPrecharge = GaugePressure.FromBar(98) } };
        var again = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        again.Restore(windows, [told]);
        Job job = Assert.Single(again.State.Ledger.Standing).Job;
        Assert.Equal((told.Key, told.Revision, told.Raised, told.Taken), (job.Key, job.Revision, job.Raised, job.Taken));
        Assert.Equal(98, job.ChargingTargets.Single(row => row.GasTemperatureCelsius == 20).TargetBarGauge);
    }

    /// <summary>
    /// The clock looks ahead of the readings now and then, by up to five days. Where it draws a conclusion the readings have come late and the
    /// state before it is gone on from; where it draws none it leaves no trace.
    /// </summary>
    [Fact]
    public void Looks_ahead_of_the_readings_leave_no_trace()
    {
        Vessel vessel = Bench.Vessel(
            chargeDays: [20.3], checks: [Bench.Check(6.2, 100), Bench.Check(14.65, 95), Bench.Check(16.9), Bench.Check(24.1, 99), Bench.Check(35.65, 95)]);
        Reading[] readings = [.. Machine.Days(0, 40, day => day < 10 ? 100 : day < 20.3 ? 85 : day < 33 ? 99 : 50)];
        (string[] whole, byte[] end) = Run(new Random(0), oneIn: int.MaxValue);
        Assert.True(whole.Length > 4);
        foreach (int seed in Enumerable.Range(1, 12))
        {
            (string[] told, byte[] state) = Run(new Random(seed), oneIn: seed % 3 == 0 ? 10 : 150);
            Assert.Equal(whole, told);
            Assert.Equal(end, state);
        }

        (string[] Told, byte[] State) Run(Random random, int oneIn)
        {
            var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
            SortedDictionary<DateTimeOffset, PrechargeWindow> windows = [];
            List<string> jobs = [], alarms = [];
            foreach (Reading reading in readings)
            {
                if (random.Next(oneIn) == 1)
                {
                    Keep();
                    FollowerState before = follower.State;
                    follower.AdvanceTo(follower.LastReading.AddDays(5 * random.NextDouble()));
                    if (follower.Instant >= reading.Instant)
                    {
                        follower = new VesselFollower(
                            vessel, before, [.. windows.Values.Where(window => window.Standing == WindowStanding.Accepted)], AlarmHandling.Usual);
                    }
                }

                follower.Accept(reading);
            }

            Keep();
            return ([.. jobs, .. alarms], follower.State.ToJson());

            void Keep()
            {
                foreach (PrechargeWindow window in follower.TakeChangedWindows())
                {
                    windows[window.Start] = window;
                }

                jobs.AddRange(follower.TakeNotices().Select(notice => $"{Told(notice)}"));
                alarms.AddRange(follower.TakeAlarmChanges().Select(change => $"{change}"));
            }
        }
    }

    private static (string Key, JobState State, JobEnd? End, DateTimeOffset At) Told(JobNotice notice) => (notice.Key, notice.State, notice.End, notice.At);
}
