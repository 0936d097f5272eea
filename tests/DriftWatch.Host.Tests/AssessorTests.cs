using DriftWatch.Host.Assessing;
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

    private static VesselReading Reading(string vessel) => new(vessel, new Reading(Signal.GasPressure, Noon, 1e7));

    /// <summary>The real store, but for one vessel whose readings cannot be worked on.</summary>
    private sealed class FailingHistory(PlantStore store, string? broken) : IVesselHistory
    {
        public string? Broken { get; set; } = broken;

        public IReadOnlyList<VesselInbox> Waiting() => store.Waiting();

        public VesselCheckpoint? CheckpointBefore(string vesselId, DateTimeOffset instant) => vesselId == Broken
            ? throw new FormatException("Planted failure.")
            : store.CheckpointBefore(vesselId, instant);

        public IEnumerable<Reading> ReadingsAfter(string vesselId, DateTimeOffset instant) => store.ReadingsAfter(vesselId, instant);

        public IVesselView View(string vesselId) => store.View(vesselId);

        public IReadOnlyList<PrechargeWindow> Windows(string vesselId) => store.Windows(vesselId);

        public Assessment? LastAssessment(string vesselId) => store.LastAssessment(vesselId);

        public IReadOnlyList<JobNotice> LastNotices(string vesselId) => store.LastNotices(vesselId);

        public VesselBasis? BasisOf(string vesselId) => store.BasisOf(vesselId);

        public void Save(VesselStep step) => store.Save(step);
    }
}
