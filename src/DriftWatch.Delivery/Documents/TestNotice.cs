using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Documents;

/// <summary>A notice that proves a channel and asks for no work.</summary>
public static class TestNotice
{
    /// <summary>Stands in the place of the vessel's id.</summary>
    public const string Vessel = "channel-test";

    /// <summary>The notice of a test made at a moment, which is its key.</summary>
    public static JobNotice At(DateTimeOffset now) => new(
        new Job
        {
            Key = FormattableString.Invariant($"{Vessel}/{now.UtcDateTime:yyyyMMdd'T'HHmmss.fff'Z'}"),
            VesselId = Vessel,
            VesselDescription = "No vessel: a test of this channel",
            VesselPlace = "Nowhere",
            Cause = JobCause.NoWindowTooLong,
            Reason = "This is a test of the way into this queue. Nothing is wrong and nothing is to be done.",
            Raised = now.ToUniversalTime(),
            Due = now.ToUniversalTime(),
            DueReason = "A test has no due date.",
            Evidence = [],
            Steps = ["Nothing is to be done. Delete this test."],
            ChargingTargets = [],
            NitrogenKg = null,
            NitrogenStandardLitres = null,
            Cautions = SafetyLines.All,
        },
        JobState.Open,
        now.ToUniversalTime(),
        "")
    {
        IsTest = true,
    };
}
