using DriftWatch.Host.Assessing;
using DriftWatch.Host.Commands;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Host.Tests;

/// <summary>One vessel that cannot be assessed holds back no other, and nothing of it is lost.</summary>
public sealed class AssessorTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_vessel_whose_assessment_fails_waits_and_is_tried_again()
    {
        using TemporaryFolder folder = new();
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db") });
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        store.Commit([Reading("PR1-A1"), Reading("PR1-A2")], []);
        var history = new FailingHistory(store, "PR1-A1");
        var clock = new FakeTimeProvider(Noon);
        var assessor = new Assessor(register, history, AlarmHandling.Usual, clock, NullLogger<Assessor>.Instance);

        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        Assert.NotNull(store.LastAssessment("PR1-A2"));
        Assert.Equal("PR1-A1", Assert.Single(store.Waiting()).VesselId);
        Assert.Equal(0, assessor.TakeInWaiting(CancellationToken.None)); // Left out for a while: no busy loop.

        history.Broken = null;
        clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        Assert.NotNull(store.LastAssessment("PR1-A1"));
        Assert.Empty(store.Waiting());
    }

    /// <summary>A machine may start with a clock that is a year ahead.</summary>
    [Fact]
    public void A_vessel_that_is_left_out_is_tried_again_in_its_time_though_the_clock_was_set_back()
    {
        using TemporaryFolder folder = new();
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db") });
        store.Commit([Reading("PR1-A1")], []);
        var history = new FailingHistory(store, "PR1-A1");
        var clock = new WrongClock(Noon) { Off = TimeSpan.FromDays(365) };
        var assessor = new Assessor(SampleReadings.Register(), history, AlarmHandling.Usual, clock, NullLogger<Assessor>.Instance);
        Assert.Equal(0, assessor.TakeInWaiting(CancellationToken.None));

        history.Broken = null;
        clock.Off = TimeSpan.Zero;
        Assert.Equal(0, assessor.TakeInWaiting(CancellationToken.None));
        clock.Advance(TimeSpan.FromMinutes(6));
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
    }

    /// <summary>A record that cannot be read is its vessel's matter; it comes first at each round, and the others must have their turn.</summary>
    [Fact]
    public void A_vessel_whose_record_cannot_be_read_holds_back_no_other()
    {
        using TemporaryFolder folder = new();
        string file = folder.File("driftwatch.db");
        using var store = new PlantStore(new StoreOptions { Path = file });
        VesselRegister register = SampleReadings.Register();
        store.Commit([Reading("PR1-A1"), Reading("PR1-A2")], []);
        Assert.Equal(2, NewAssessor(register, store).TakeInWaiting(CancellationToken.None));

        store.Commit([Reading("PR1-A1", 1), Reading("PR1-A2", 1)], []);
        SpoilAssessment(file, "PR1-A1");
        Assessor assessor = NewAssessor(register, store);
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        Assert.Equal("PR1-A1", Assert.Single(store.Waiting()).VesselId);
        assessor.LetTimePass(Noon.AddHours(2), CancellationToken.None);
        Assert.Equal(Noon.AddHours(2), assessor.PassedTo);
        (string failed, string why) = Assert.Single(assessor.Failed);
        Assert.Equal("PR1-A1", failed);
        Assert.EndsWith("The command 'store verify' names all that cannot be read.", why, StringComparison.Ordinal);
    }

    /// <summary>What the database itself refuses concerns all: they wait, and none of them is said to be at fault.</summary>
    [Fact]
    public void A_store_that_fails_as_a_whole_is_no_fault_of_a_vessel()
    {
        using TemporaryFolder folder = new();
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db") });
        store.Commit([Reading("PR1-A1")], []);
        var history = new FailingHistory(store, "PR1-A1")
        {
            Planted = new StoreUnavailableException("The disk is full.", new SqliteException("SQLite error 13: database or disk is full", 13)),
        };
        Assessor assessor = NewAssessor(SampleReadings.Register(), history);
        Assert.Throws<StoreUnavailableException>(() => { _ = assessor.TakeInWaiting(CancellationToken.None); });
        Assert.Empty(assessor.Failed);
        history.Broken = null;
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
    }

    [Fact]
    public void A_vessel_that_has_left_the_register_is_no_longer_told_as_failed()
    {
        using TemporaryFolder folder = new();
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db") });
        store.Commit([Reading("PR1-A1"), Reading("PR1-A2")], []);
        VesselRegister register = SampleReadings.Register();
        var live = new LiveRegister(register);
        var assessor = new Assessor(live, new FailingHistory(store, "PR1-A1"), AlarmHandling.Usual, new FakeTimeProvider(Noon), NullLogger<Assessor>.Instance);
        _ = assessor.TakeInWaiting(CancellationToken.None);
        Assert.Equal("PR1-A1", Assert.Single(assessor.Failed).Key);

        live.Replace(new VesselRegister(register.Plant, [.. register.Vessels.Where(vessel => vessel.Id != "PR1-A1")]));
        _ = assessor.TakeInWaiting(CancellationToken.None);
        Assert.Empty(assessor.Failed);
    }

    /// <summary>
    /// The vessel was read once and its assessment fails since: what is said of it stops being good, silence is noticed as ever, the
    /// alarm of its data stands; and once the step succeeds all of it is as if it had never failed.
    /// </summary>
    [Fact]
    public void A_vessel_whose_assessment_fails_is_told_of_and_its_silence_is_noticed()
    {
        using TemporaryFolder folder = new();
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db") });
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        var history = new FailingHistory(store, null);
        var clock = new FakeTimeProvider(Noon);
        var assessor = new Assessor(register, history, AlarmHandling.Usual, clock, NullLogger<Assessor>.Instance);
        store.Commit([Reading("PR1-A1")], []);
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));

        history.BrokenView = "PR1-A1";
        store.Commit([new VesselReading("PR1-A1", new Reading(Signal.GasPressure, Noon.AddHours(1), 1e7))], []);
        Assert.Equal(0, assessor.TakeInWaiting(CancellationToken.None));
        assessor.LetTimePass(Noon.AddHours(2), CancellationToken.None);
        Assessment soon = store.LastAssessment("PR1-A1")!;
        Assert.Equal(Verdict.NotKnownYet, soon.Verdict);
        Assert.Equal("Not known: the assessment failed. The newest readings could not be assessed: Planted failure.", soon.Reason);
        Assert.Equal(AlarmState.Unacknowledged, store.Alarms(Noon.AddHours(2)).Of("PR1-A1", AlarmKind.DataFault).Status.State);

        TimeSpan silence = register.Find("PR1-A1")!.Specification.LongestSilence;
        DateTimeOffset late = Noon + silence + TimeSpan.FromDays(1);
        assessor.LetTimePass(late, CancellationToken.None);
        Assessment silent = store.LastAssessment("PR1-A1")!;
        Assert.Equal(Verdict.NoWindowTooLong, silent.Verdict);
        Assert.Contains("Planted failure", silent.DataFault, StringComparison.Ordinal);
        Assert.Equal(JobCause.NoWindowTooLong, Assert.Single(store.LastNotices("PR1-A1")).Job.Cause);

        history.BrokenView = null;
        clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        assessor.LetTimePass(late.AddMinutes(1), CancellationToken.None);
        Assessment after = store.LastAssessment("PR1-A1")!;
        Assert.Equal((Verdict.NoWindowTooLong, ""), (after.Verdict, after.DataFault));
        Assert.Equal(AlarmState.Normal, store.Alarms(late.AddMinutes(1)).Of("PR1-A1", AlarmKind.DataFault).Status.State);
        Assert.Empty(assessor.Failed);
    }

    /// <summary>A vessel that cannot be assessed (one without a reference temperature, which no register lets through) leaves the others theirs.</summary>
    [Fact]
    public void In_files_too_one_vessel_that_fails_holds_back_no_other()
    {
        using TemporaryFolder folder = new();
        VesselRegister sound = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        var register = new VesselRegister("bench", [.. sound.Vessels.Take(3).Select((vessel, i) => i == 1
            ? vessel with { Specification = vessel.Specification with { ReferenceTemperature = default } }
            : vessel)]);
        string[] files = [.. register.Vessels.Select(vessel => folder.File($"{vessel.Id}.csv"))];
        foreach (string file in files)
        {
            File.WriteAllText(file, "time,gas_pressure_bar,gas_temperature_C\n2026-03-01T12:00:00Z,100,20\n");
        }

        FileAssessment assessment = FileAssessment.Run(register, files, null, row => Assert.Fail(row.ToString()), (_, _) => { }, CancellationToken.None);
        Assert.Equal([register.Vessels[0].Id, register.Vessels[2].Id], assessment.Results.Select(result => result.Vessel.Id));
        (string failed, string why) = Assert.Single(assessment.Failures);
        Assert.Equal(register.Vessels[1].Id, failed);
        Assert.NotEmpty(why);
        Assert.Equal(3, AssessCommand.ExitCodeOf(assessment, exitByVerdict: true));
        Assert.Equal(0, AssessCommand.ExitCodeOf(assessment with { Failures = [] }, exitByVerdict: true));
    }

    private static VesselReading Reading(string vessel, double hours = 0) => new(vessel, new Reading(Signal.GasPressure, Noon.AddHours(hours), 1e7));

    private static Assessor NewAssessor(VesselRegister register, IVesselHistory history) =>
        new(register, history, AlarmHandling.Usual, new FakeTimeProvider(Noon), NullLogger<Assessor>.Instance);

    /// <summary>Writes rubbish over what is said of a vessel, past the store.</summary>
    private static void SpoilAssessment(string file, string vessel) =>
        PastTheStore.Change(file, "UPDATE assessment SET document = 'rubbish' WHERE vessel = (SELECT id FROM vessel WHERE name = $value)", vessel);

    /// <summary>The real store, but for one vessel whose readings cannot be worked on.</summary>
    private sealed class FailingHistory(PlantStore store, string? broken) : IVesselHistory
    {
        public string? Broken { get; set; } = broken;

        public Exception Planted { get; init; } = new FormatException("Planted failure.");

        public string? BrokenView { get; set; }

        public IReadOnlyList<VesselInbox> Waiting() => store.Waiting();

        public VesselCheckpoint? CheckpointBefore(string vesselId, DateTimeOffset instant) => vesselId == Broken
            ? throw Planted
            : store.CheckpointBefore(vesselId, instant);

        public IEnumerable<Reading> ReadingsAfter(string vesselId, DateTimeOffset instant) => store.ReadingsAfter(vesselId, instant);

        public IVesselView View(string vesselId) => vesselId == BrokenView ? throw new FormatException("Planted failure.") : store.View(vesselId);

        public IReadOnlyList<PrechargeWindow> Windows(string vesselId) => store.Windows(vesselId);

        public Assessment? LastAssessment(string vesselId) => store.LastAssessment(vesselId);

        public IReadOnlyList<JobNotice> LastNotices(string vesselId) => store.LastNotices(vesselId);

        public VesselBasis? BasisOf(string vesselId) => store.BasisOf(vesselId);

        public void Save(VesselStep step) => store.Save(step);
    }
}
