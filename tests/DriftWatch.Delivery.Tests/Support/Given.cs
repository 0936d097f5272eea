using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>Jobs to deliver, of an invented plant.</summary>
internal static class Given
{
    public static DateTimeOffset Instant { get; } = new DateTimeOffset(2025, 3, 1, 6, 0, 0, TimeSpan.Zero).AddTicks(1);

    public static Job Job(string vessel = "P3-ACC-2", string key = "below/2025-03-01") => new()
    {
        Key = $"{vessel}/{key}",
        VesselId = vessel,
        VesselDescription = "Pump accumulator",
        VesselPlace = "Hall 2, press 3",
        Cause = JobCause.BelowLowerLimit,
        Reason = "The precharge is 84.2 bar at 20 °C, below its lower limit of 85.0 bar.",
        Raised = Instant,
        Due = Instant + TimeSpan.FromDays(7),
        DueReason = "Below the limit already.",
        Evidence = ["12 windows since 2025-01-03."],
        Steps = ["Isolate the fluid side and release it fully.", "Charge with nitrogen."],
        ChargingTargets = [new ChargingTargetRow(-10, 80.1), new ChargingTargetRow(20, 90)],
        Filling = new FillingAdvice(20, 90, 96.5, 50, 200, 1, ["Fill slowly."]),
        Isolation = SafetyLines.Isolation,
        Parts = ["Charging unit"],
        RecordAfter = ["Date and time, and who did it"],
        NitrogenKg = 0.42,
        NitrogenStandardLitres = 336,
        Cautions = SafetyLines.All,
    };

    public static JobNotice Opened(Job? job = null) => new(job ?? Job(), JobState.Open, Instant, "");

    public static JobNotice Renewed(Job? job = null) =>
        new((job ?? Job()) with { Revision = 2, Priority = Priority.High }, JobState.Open, Instant + TimeSpan.FromDays(1), "The priority has risen.");

    public static JobNotice Closed(Job? job = null) =>
        new((job ?? Job()) with { Revision = 2 }, JobState.Closed, Instant + TimeSpan.FromDays(2), "Charged to 90 bar.") { End = JobEnd.Charged };

    /// <summary>The step that puts notices into the outbox of a store.</summary>
    public static VesselStep Step(params JobNotice[] notices) => new()
    {
        VesselId = notices[0].Job.VesselId,
        InboxSequence = 0,
        Windows = [],
        Assessment = new Assessment { AsOf = Instant, Verdict = Verdict.BelowLowerLimit, Reason = "below its lower limit" },
        Notices = notices,
        Checkpoint = new VesselCheckpoint(Instant, default),
    };
}
