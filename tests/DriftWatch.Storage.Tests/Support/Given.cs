using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage.Tests.Support;

/// <summary>Records to store. The figures mean nothing; awkward doubles are chosen on purpose.</summary>
internal static class Given
{
    public static DateTimeOffset Instant(double hours = 0) =>
        new DateTimeOffset(2025, 3, 1, 6, 0, 0, TimeSpan.Zero).AddTicks(1) + TimeSpan.FromHours(hours);

    public static VesselReading Reading(string vessel, double hours, double value = 1.1e7, Signal signal = Signal.GasPressure) =>
        new(vessel, new Reading(signal, Instant(hours), value));

    public static void Commit(this PlantStore store, params VesselReading[] readings) => store.Commit(readings, []);

    public static PrechargeWindow Window(double hours, double precharge = 9.1e6 + (1.0 / 3)) => new()
    {
        Start = Instant(hours),
        End = Instant(hours + 0.5),
        ReadingCount = 31,
        Evidence = WindowEvidence.Contact,
        MeanPressurePa = Math.BitIncrement(9.2e6),
        MeanTemperatureK = 293.15 + double.Epsilon,
        PrechargePa = precharge,
        RandomUncertaintyPa = 0.1,
        SharedUncertaintyPa = double.MaxValue,
        IsochoreSlopePaPerK = double.NaN,
        Rest = long.MaxValue,
        Standing = WindowStanding.Rejected,
        Reason = "trapped \"fluid\", 5 °C",
        Segment = -1,
    };

    public static Assessment Assessment(double hours, Verdict verdict = Verdict.FallingFasterThanAllowed) => new()
    {
        AsOf = Instant(hours),
        Verdict = verdict,
        Reason = "falls by 1.2 bar/month",
        Segment = new TrendSegment(2, Instant(1), SegmentCause.UnrecordedCharge),
        PointCount = 12,
        LastWindow = Instant(hours - 1),
        PrechargePa = 1e7 / 3,
        PrechargeUncertaintyPa = 1234.5,
        Fit = new TrendFit
        {
            Origin = Instant(hours / 3),
            LevelPa = 9.1e6 / 7,
            SlopePaPerSecond = -0.04 / 3,
            LevelRandomUncertaintyPa = 1e-300,
            SharedUncertaintyPa = 5000,
            SlopeUncertaintyPaPerSecond = 1e-5,
            CoverageFactor95 = 2.2281388519649385,
            PointCount = 12,
            DegreesOfFreedom = 10,
            FirstPoint = Instant(1),
            LastPoint = Instant(hours),
            SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
            SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
        },
        Forecast = new CrossingForecast(Instant(1000), Instant(900), null),
        DataFault = "",
    };

    public static Job Job(string vessel, string key = "job-1", double raisedHours = 0) => new()
    {
        Key = $"{vessel}/{key}",
        VesselId = vessel,
        VesselDescription = "Pump accumulator",
        VesselPlace = "Hall 2",
        Cause = JobCause.BelowLowerLimit,
        Reason = "below its lower limit",
        Raised = Instant(raisedHours),
        Due = Instant(raisedHours + 100),
        DueReason = "before the next start",
        Evidence = ["12 points"],
        Steps = ["Isolate the fluid side and release it fully.", "Charge."],
        ChargingTargets = [new ChargingTargetRow(20, 90.1), new ChargingTargetRow(-10, 1.0 / 3)],
        NitrogenKg = 0.1 + 0.2,
        NitrogenStandardLitres = null,
        Cautions = ["Charge with nitrogen only; never with oxygen, air or another gas."],
    };

    public static JobNotice Opened(Job job) => new(job, JobState.Open, job.Raised, "");

    public static JobNotice Closed(Job job) =>
        new(job with { Revision = job.Revision + 1 }, JobState.Closed, job.Raised + TimeSpan.FromHours(5), "charged") { End = JobEnd.Charged };

    public static VesselStep Step(string vessel, double hours, params JobNotice[] notices) => new()
    {
        VesselId = vessel,
        InboxSequence = 0,
        Windows = [],
        Assessment = Assessment(hours),
        Notices = notices,
        Checkpoint = new VesselCheckpoint(Instant(hours), new byte[] { 1, 0, 255 }),
    };
}
